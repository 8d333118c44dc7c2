"""Quote pages of the desk: the list, an issue as it stands, the draft that becomes the next one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from quotes.days import long_date
from quotes.desk import drafts, issuing, quoting
from quotes.desk.accepting import say_why_lost
from quotes.desk.drafts import QuoteError
from quotes.desk.people import called
from quotes.desk.posting import letter_state, send_quote
from quotes.documents.content import Document
from quotes.find_forms import QuotesFind
from quotes.forms.quote import HeadForm, LineForm, NewLineForm, SendForm, WordForm
from quotes.links import address_of
from quotes.lists.issue_states import State, state_of
from quotes.lists.issues import changed_since_last, document_of, moved_prices
from quotes.lists.pages import QUOTES
from quotes.lists.people import likely_callers
from quotes.lists.quotes import quotes_asked_for
from quotes.models import Acceptance, Issue, Quote, QuoteLine, Request
from quotes.pricing import PricingError
from quotes.svg import to_svg
from sizing.lists import show
from sizing.numerals import whole_number
from sizing.roles import has_role
from sizing.typed import typed

# More openings than these are folded away to a line each, and one tick of the customer may stand for all of them.
MANY = 5
# Offered while somebody types why a quote was lost; so that a month's numbers add up, the same words for the same.
WHY_LOST = (
    "too dear", "too slow", "bought elsewhere", "put off", "repaired", "measured wrong", "no answer",
)  # fmt: skip


@require_safe
def quotes(request: HttpRequest) -> HttpResponseBase:
    """Quotes, newest first, found by any scrap."""
    find = QuotesFind(request.GET)
    return show(request, "quotes/quotes.html", find, (QUOTES, quotes_asked_for(find.said)))


@require_POST
def quote_from_request(request: HttpRequest, pk: int) -> HttpResponse:
    """Make or renew the draft quote of a request and go to it."""
    return to_quote(request, get_object_or_404(Request, pk=pk))


def to_quote(request: HttpRequest, stored: Request) -> HttpResponse:
    """The answer to "quote this": the draft's page, or the request again with what is missing.

    Of a caller who may be one customer or another it is asked first: prices hang on who it is.
    """
    if stored.customer is None and likely_callers(stored):
        messages.info(request, "Say first whose call it is: terms and prices hang on it.")
        return redirect(f"{reverse('request-customer', args=[stored.pk])}?quote")
    try:
        made = quoting.begin_quotes(stored.pk, request.user.get_username())
    except QuoteError as error:
        messages.error(request, str(error))
        return redirect(f"{reverse('request', args=[stored.pk])}{_first_asked(stored)}")
    if not stored.caller and made[0].customer.name == called(stored):
        messages.warning(
            request,
            f"Nobody has noted the caller's name: the quote says “{made[0].customer}” until the request has it.",
        )
    for other in made[1:]:
        said = f"What is priced in {other.currency} is in quote {other.number}, linked below."
        messages.info(request, said)
    return redirect("quote", made[0].pk)


def _first_asked(stored: Request) -> str:
    """Where on its page the first answer is wanted: the browser puts the cursor there."""
    for at, opening in enumerate(stored.openings.all()):
        if asked := opening.answer.get("ask"):
            return f"#o{at}-finish" if asked == "finish" else f"#o{at}-m-{asked}"
    return ""


@require_safe
def quote(request: HttpRequest, pk: int, number: int | None = None) -> HttpResponse:
    """The last issue of a quote, or the one asked for."""
    stored = get_object_or_404(Quote.objects.select_related("customer", "request"), pk=pk)
    issues = stored.issues.all()
    issue = get_object_or_404(issues, number=number) if number else issues.first()
    return quote_page(request, issue)


def quote_page(request: HttpRequest, issue: Issue, status: int = 200, **forms: Any) -> HttpResponse:
    """The page of one issue; `forms` are what was typed and comes back, or what is wrong with it."""
    state = state_of(issue)
    others = _others(issue.quote)
    accepted = getattr(issue.quote, "acceptance", None)
    may_be_accepted = state.word == "draft" or state.can_be_accepted
    may_be_ordered = may_be_accepted or (state.word == "accepted" and accepted.waits)
    shown: dict[str, Any] = {
        "quote": issue.quote,
        "issue": issue,
        "state": state,
        "issues": issue.quote.issues.all(),
        "changed": changed_since_last(issue),
        "moved": _moved(issue, state, accepted),
        "asked": issue.changes_asked.all(),
        "lapsed": bool(issue.valid_until and issue.valid_until < timezone.localdate()),
        "others": others,
        "accepted_beside": _accepted_beside(issue.quote, others) if may_be_accepted else [],
        "may_be_ordered": may_be_ordered,
        **shown_document(document_of(issue)),
    }
    if state.word == "draft":
        shown |= {
            "head": forms.get("head") or _head_form(request, issue),
            "lines": forms.get("lines") or _line_forms(issue),
            "is_refused": "lines" in forms,
            "fresh": forms.get("fresh") or NewLineForm(prefix="new"),
            "mail_to": _mail_to(issue.quote),
            "accepted": accepted,
            "left_out": quoting.left_out(issue.quote.request) if issue.quote.request else [],
            "beside": issuing.differs(issue),
        }
    else:
        shown |= {
            "link": address_of(issue),
            "letters": [(letter, letter_state(letter)) for letter in issue.letters.all()],
            "send": forms.get("send") or SendForm(initial={"to": _mail_to(issue.quote)}),
            "word": forms.get("word") or WordForm(initial={"name": _caller(issue.quote)}),
            "back": forms.get("back", ""),
            "beside": issuing.differs_since(issue) if may_be_ordered or state.asked else [],
            "reasons": WHY_LOST,
        }
    return render(request, "quotes/quote.html", shown, status=status)


def _moved(issue: Issue, state: State, accepted: Acceptance | None) -> list[str]:
    """What of its prices has moved since: until today, and once it is ordered as it was when it was accepted."""
    if state.word == "replaced":
        return []
    if accepted and not accepted.waits:
        return accepted.moved_prices
    return moved_prices(issue)


def _others(quote: Quote) -> QuerySet[Quote]:
    """What else was quoted of the same request: what is priced in another currency has a quote of its own, and
    so has what is quoted after one was accepted."""
    same = Quote.objects.filter(request__isnull=False, request=quote.request_id)
    return same.exclude(pk=quote.pk).select_related("acceptance")


def _accepted_beside(quote: Quote, others: QuerySet[Quote]) -> list[Quote]:
    """Quotes of the same windows that are accepted: with this one accepted, too, everything is made twice."""
    return [one for one in others if one.currency == quote.currency and hasattr(one, "acceptance")]


def _caller(quote: Quote) -> str:
    """Who is on the phone, as far as is known: mostly it is they who accept."""
    return quote.request.caller if quote.request else ""


def _mail_to(quote: Quote) -> str:
    """Where a quote goes: the caller's own address, else the customer's first, else where it went before."""
    if quote.request and quote.request.email:
        return quote.request.email
    contact = quote.customer.contacts.exclude(email="").first()
    if contact:
        return contact.email
    return next(filter(None, (issue.mailed_to for issue in quote.issues.all())), "")


def shown_document(document: Document) -> dict[str, Any]:
    """What the templates need of a document; the public page shows the same."""
    return {
        "document": document,
        "many": len(document.openings) > MANY,
        "sheets": [
            (sheet, to_svg(sheet.drawing, f"opening-{place}"))
            for place, sheet in enumerate(document.openings)
        ],
    }


def _line_forms(issue: Issue, data: Mapping[str, str] | None = None) -> list[LineForm]:
    lines = issue.lines.select_related("part").prefetch_related("openings")
    return [LineForm(line, data) for line in lines]


def _head_form(
    request: HttpRequest, issue: Issue, data: Mapping[str, str] | None = None
) -> HeadForm:
    return HeadForm(data, instance=issue, may_discount=has_role(request.user, "manager"))


@require_POST
def quote_draft(request: HttpRequest, pk: int) -> HttpResponse:
    """Store a draft as typed, then do what the pressed button says."""
    issue = get_object_or_404(Issue, pk=pk)
    if request.POST.get("do") == "discard":
        return _discard(request, issue)
    head = _head_form(request, issue, request.POST)
    lines = _line_forms(issue, request.POST)
    fresh = NewLineForm(request.POST, prefix="new")
    wanted = any(
        request.POST.get(f"new-{name}", "").strip() for name in ("description", "unit_price")
    )
    valid = [form.is_valid() for form in (head, *lines, *([fresh] if wanted else []))]
    if not all(valid):
        forms = {"head": head, "lines": lines, "fresh": fresh if wanted else None}
        return quote_page(request, Issue.objects.get(pk=pk), 422, **forms)
    try:
        # One press: where the database gives up half-way nothing of it is kept.
        with transaction.atomic():
            _store(issue, head, lines, fresh if wanted else None)
            if "discount_percent" in head.cleaned_data:
                given = head.cleaned_data["discount_percent"]
                drafts.give_discount(issue.pk, given, request.user.get_username())
            _do(request, issue, request.POST.get("do", "save"))
    except QuoteError as error:
        messages.error(request, str(error))
    return redirect("quote", issue.quote_id)


def _discard(request: HttpRequest, issue: Issue) -> HttpResponse:
    """Take away a draft begun by mistake, whatever is typed in it."""
    words, quote = f"The draft of {issue} is discarded.", issue.quote_id
    try:
        left = drafts.discard_draft(issue.pk)
    except QuoteError as error:
        messages.error(request, str(error))
        return redirect("quote", quote)
    messages.success(request, words)
    return redirect("quote", left.pk) if left else redirect("quotes")


def _store(issue: Issue, head: HeadForm, lines: list[LineForm], fresh: NewLineForm | None) -> None:
    said = head.cleaned_data
    drafts.change_head(
        issue.pk,
        drafts.Head(
            said["ship_to"], said["pickup"], said["freight"], said["note"], said["valid_days"]
        ),
    )
    for form in lines:
        if form.has_changed():
            said = form.cleaned_data
            drafts.change_line(
                form.line.pk,
                quantity=said["quantity"],
                unit_price=said.get("unit_price"),
                description=said.get("description", ""),
                taxable=said["taxable"],
            )
    if fresh:
        said = fresh.cleaned_data
        drafts.add_line(issue.pk, said["description"], said["quantity"], said["unit_price"])


def _do(request: HttpRequest, issue: Issue, action: str) -> None:
    """What the pressed button says; where that cannot be, what was typed stays stored."""
    try:
        _act(request, issue, action)
    except (QuoteError, PricingError) as error:
        messages.error(request, str(error))


def _act(request: HttpRequest, issue: Issue, action: str) -> None:
    by = request.user.get_username()
    if action in ("issue", "issue-mail"):
        issued = issuing.issue_quote(issue.pk, by)
        messages.success(
            request, f"{issued} is issued and holds until {long_date(issued.valid_until)}."
        )
        if action == "issue-mail":
            letter = send_quote(issued.pk, _mail_to(issued.quote), by)
            messages.success(request, f"The letter to {letter.to}: {letter_state(letter)}.")
        return
    if action == "take-lines":
        quoting.take_lines(issue)
    elif action.startswith("remove-"):
        key = whole_number(action.removeprefix("remove-"))
        line = get_object_or_404(QuoteLine, pk=key, issue=issue)
        drafts.remove_line(line.pk)
    messages.success(request, "Saved and worked out below.")


@require_POST
def quote_next(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin the next issue."""
    try:
        drafts.next_issue(get_object_or_404(Quote, pk=pk).pk)
    except QuoteError as error:
        messages.error(request, str(error))
    return redirect("quote", pk)


@require_POST
def quote_lost(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep why nothing came of a quote, for the month's numbers."""
    try:
        say_why_lost(get_object_or_404(Quote, pk=pk).pk, typed(request.POST, "why"))
    except QuoteError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "Kept with the quote.")
    return redirect("quote", pk)
