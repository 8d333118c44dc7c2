"""The API's calls. Each asks the functions that the desk's own pages and commands ask."""

from __future__ import annotations

import uuid
from http import HTTPStatus

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from ninja import NinjaAPI, Path, Status
from ninja.errors import AuthenticationError, HttpError, ValidationError
from ninja.throttling import AuthRateThrottle

from config.api import answers
from config.api.form import in_sentences
from config.api.keys import Key, program
from config.api.schemas import (
    AcceptIn,
    Number,
    OrderNumber,
    OrderOut,
    Problem,
    QuoteOut,
    RequestIn,
    RequestOut,
    ResolveIn,
    ResolveOut,
    WhenIn,
    WhenOut,
)
from ordering.answers import answer_lines as when_lines
from ordering.lists.when_now import WhenNow
from quotes.answering import answer_opening, lacking
from quotes.desk.accepting import NotOpenError, TicksError, accept
from quotes.desk.drafts import QuoteError
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import RequestError, StaleError, save_request
from quotes.forms.counter import HeadForm
from quotes.models import Integration
from quotes.said import SASH_FIELDS, SaidOpening, SaidRequest
from sizing import lookup
from sizing.models import Revision
from sizing.resolver.lines import answer_lines

# Of a request, read by the counter's own form.
HEAD = ("caller", "phone", "email", "note", "needed_by")
_KEYS = uuid.UUID("6f1b7f43-4f0c-5a83-9a0e-2f5d1c0f7a11")
_REFUSED = {400: Problem, 401: Problem, 404: Problem, 409: Problem, 422: Problem, 429: Problem}

api = NinjaAPI(
    title="Sashdesk",
    version="1",
    description="Which part, what price, when it ships; requests, quotes and orders of one program.",
    urls_namespace="api",
    docs_url=None,
    auth=Key(),
    throttle=[AuthRateThrottle("600/m")],
)


class Refused(Exception):
    """A call that can't be carried out: status, one sentence, and where it is to be mended."""

    def __init__(self, status: int, sentence: str, problems: dict[str, str] | None = None) -> None:
        super().__init__(sentence)
        self.status = status
        self.problems = problems or {}


def _revision(code: str) -> Revision:
    try:
        return lookup.in_force(code)
    except lookup.NoTableError as error:
        raise Refused(404, str(error)) from None


@api.post("/resolve", response={200: ResolveOut, **_REFUSED}, summary="Which part fits?")
def resolve(request: HttpRequest, asked: ResolveIn) -> ResolveOut:
    """Answer each opening: one part, one question, or why it needs a special quote. Nothing is stored."""
    revision = _revision(asked.family)
    table = lookup.table_of(revision)
    lines = [opening.dict() for opening in asked.openings]
    found = answer_lines(lookup.compiled(revision), lines)
    return ResolveOut(answers=[answers.answer_out(table, line) for line in found])


@api.post("/when", response={200: WhenOut, **_REFUSED}, summary="When will it ship?")
def when(request: HttpRequest, asked: WhenIn) -> WhenOut:
    """The window of a line of this program's orders by its reference, or of a part by family, part_number and
    order_on, as of today."""
    questions = [question.dict(exclude_none=True) for question in asked.questions]
    known = WhenNow(timezone.localdate(), asked.level, answers.own_orders(program(request)))
    return WhenOut(answers=list(when_lines(questions, known)))


@api.post("/requests", response={201: RequestOut, **_REFUSED}, summary="Leave a request")
def leave_request(request: HttpRequest, asked: RequestIn) -> Status:
    """Store a caller's windows with their answers, as the counter does. Nothing is stored if a word of it
    can't be read."""
    by = program(request)
    head = HeadForm({name: getattr(asked, name) or "" for name in HEAD})
    problems = {field: words[0] for field, words in head.errors.items()}
    said = [_said(opening) for opening in asked.openings]
    for place, opening in enumerate(said):
        revision = _revision(opening.family)
        codes = {m.code for m in lookup.table_of(revision).measures} | {"sash_weight"}
        for code in {*opening.measures, *opening.cannot} - codes:
            problems[f"openings.{place}.measures.{code}"] = (
                f"“{code}” is no measure of {revision.name}: it has {', '.join(sorted(codes))}."
            )
        problems |= {f"openings.{place}.sash.{k}": v for k, v in _sash_problems(opening).items()}
        for field, words in answer_opening(opening, revision).problems.items():
            within = "sash" if field in opening.sash else "measures"
            problems[f"openings.{place}.{within}.{field}"] = words
    if problems:
        raise Refused(422, "Some of it can't be read; nothing was stored.", problems)
    try:
        stored = save_request(
            SaidRequest(**{name: head.cleaned_data[name] for name in HEAD}, openings=tuple(said)),
            by=by.signature,
            page=_page(by, asked.key),
        )
    except (StaleError, RequestError):
        raise Refused(
            409, f"Another request was left under the key “{asked.key}”: choose a new key."
        ) from None
    return Status(201, _request_out(by, stored.pk))


def _sash_problems(opening: SaidOpening) -> dict[str, str]:
    """What a described sash has too much or too little of: at the desk it would be asked for, here nobody is."""
    fields = ", ".join(SASH_FIELDS)
    found = {
        field: f"“{field}” says nothing about a sash: its fields are {fields}."
        for field in opening.sash
        if field not in SASH_FIELDS
    }
    if any(opening.sash.values()):
        for field in lacking(opening):
            found[field] = f"A sash is described whole or not at all: {fields}."
    return found


def _said(opening) -> SaidOpening:
    said = {code: text for code, text in opening.measures.items() if text is not None}
    return SaidOpening(
        family=opening.family,
        label=opening.label or (opening.id or "")[:80],
        measures={c: t if isinstance(t, str) else f"{t:.10g}" for c, t in said.items()},
        cannot=frozenset(opening.measures) - frozenset(said),
        sash=opening.sash or {},
        finish=opening.finish or "",
        quantity=opening.quantity,
    )


def _page(by: Integration, key: str) -> uuid.UUID:
    """What marks a request as left by this program under this key."""
    return uuid.uuid5(_KEYS, f"{by.pk}:{key}")


def _request_out(by: Integration, number: int) -> RequestOut:
    found = get_object_or_404(answers.own_requests(by), pk=number)
    return RequestOut(
        number=found.pk,
        answers=answers.answers_of(found),
        quotes=answers.quotes_of(found.quotes.order_by("pk")),
    )


@api.get("/requests/{number}", response={200: RequestOut, **_REFUSED}, summary="A request")
def read_request(request: HttpRequest, number: Path[Number]) -> RequestOut:
    """A request of this program, with its answers and its quotes as they stand."""
    return _request_out(program(request), number)


@api.post(
    "/requests/{number}/quote", response={200: RequestOut, **_REFUSED}, summary="Ask for a quote"
)
def ask_for_quote(request: HttpRequest, number: Path[Number]) -> RequestOut:
    """Begin the request's quote. Somebody at the desk checks and issues it; asked again, it is the same."""
    by = program(request)
    found = get_object_or_404(answers.own_requests(by), pk=number)
    if not found.quotes.exists():
        try:
            begin_quotes(found.pk, by.signature)
        except QuoteError as error:
            raise Refused(409, str(error)) from None
    return _request_out(by, number)


@api.get("/quotes/{number}", response={200: QuoteOut, **_REFUSED}, summary="A quote")
def read_quote(request: HttpRequest, number: Path[Number]) -> QuoteOut:
    """A quote of this program by its latest issue; a draft says so and has no total yet."""
    return answers.quote_out(get_object_or_404(answers.own_quotes(program(request)), pk=number))


@api.post("/quotes/{number}/accept", response={200: QuoteOut, **_REFUSED}, summary="Accept a quote")
def accept_quote(request: HttpRequest, number: Path[Number], said: AcceptIn) -> QuoteOut:
    """The customer's acceptance, taken by the program. All measures must be confirmed: parts cut to
    order cannot be returned. The desk then places the order."""
    by = program(request)
    quote = get_object_or_404(answers.own_quotes(by), pk=number)
    issue = get_object_or_404(quote.issues, number=said.issue)
    try:
        accept(
            issue.pk,
            name=said.name,
            their_number=said.their_number,
            ticked=said.confirmed,
            taken_by=by.signature,
        )
    except (NotOpenError, TicksError) as error:
        raise Refused(409, str(error)) from None
    return answers.quote_out(quote)


@api.get("/orders/{number}", response={200: OrderOut, **_REFUSED}, summary="An order")
def read_order(request: HttpRequest, number: Path[OrderNumber]) -> OrderOut:
    """How each line of an order stands and when it should leave the factory."""
    pk = int(number.removeprefix("C-"))
    return answers.order_out(get_object_or_404(answers.own_orders(program(request)), pk=pk))


def _problem(
    request: HttpRequest, status: int, error: str, problems: dict | None = None
) -> HttpResponse:
    found = [{"where": where, "words": words} for where, words in (problems or {}).items()]
    return api.create_response(request, {"error": error, "problems": found}, status=status)


@api.exception_handler(Refused)
def refused(request: HttpRequest, error: Refused) -> HttpResponse:
    return _problem(request, error.status, str(error), error.problems)


@api.exception_handler(Http404)
def not_found(request: HttpRequest, error: Http404) -> HttpResponse:
    return _problem(request, 404, "There is nothing by that number that this program has made.")


@api.exception_handler(AuthenticationError)
def no_key(request: HttpRequest, error: AuthenticationError) -> HttpResponse:
    sentence = (
        "There is no key with the call, or none that is in use: "
        "send Authorization: Bearer, a blank, and the key of your program."
    )
    response = _problem(request, 401, sentence)
    response["WWW-Authenticate"] = "Bearer"
    return response


@api.exception_handler(HttpError)
def http_error(request: HttpRequest, error: HttpError) -> HttpResponse:
    if error.status_code == HTTPStatus.TOO_MANY_REQUESTS:
        response = _problem(request, 429, "Too many calls: wait a minute, then go on.")
        response["Retry-After"] = "60"
        return response
    return _problem(request, error.status_code, "The body can't be read: send JSON.")


@api.exception_handler(ValidationError)
def bad_shape(request: HttpRequest, error: ValidationError) -> HttpResponse:
    sentence = "The call does not have the form it should: mend what is named in problems."
    return _problem(request, 422, sentence, in_sentences(error.errors))
