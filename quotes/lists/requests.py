"""Reads requests: found by any scrap, and as the clerk had typed them."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import partial
from heapq import nlargest
from typing import Any

from django.db.models import BigIntegerField, Exists, OuterRef, Q, QuerySet

from quotes import worklist
from quotes.lists.issue_states import with_states
from quotes.models import Customer, Opening, Quote, Request
from quotes.said import SaidOpening, SaidRequest
from quotes.scraps import wanted
from quotes.searched import Found, either, found_by, known_by, through, ways_of_all
from sizing.lists import between
from sizing.lookup import family_key
from sizing.rows import Rows, first_keys
from sizing.standing import KEYS, Place, Sliced, StandingQuestion


def said_of(request: Request) -> SaidRequest:
    """The request as it was typed."""
    openings = request.openings.select_related("family", "override_part")
    return SaidRequest(
        caller=request.caller,
        phone=request.phone,
        email=request.email,
        note=request.note,
        language=request.language,
        needed_by=request.needed_by,
        openings=tuple(said_opening(opening) for opening in openings),
    )


def said_opening(opening: Opening) -> SaidOpening:
    """One opening as it was typed."""
    return SaidOpening(
        family=opening.family.code,
        label=opening.label,
        measures=opening.said,
        cannot=frozenset(opening.cannot),
        sash=opening.sash,
        finish=opening.finish,
        quantity=opening.quantity,
        override=opening.override_part.part_number if opening.override_part else "",
        override_reason=opening.override_reason,
        key=opening.pk,
    )


def digits_of(text: str) -> str:
    """The digits of a phone number however it was written."""
    return re.sub(r"[^0-9]", "", text)


def find_requests(scrap: str = "") -> QuerySet[Request]:
    """Requests that hold every word of the scrap, newest first: a name, phone, e-mail, note, window's label or number.

    A bare number is the request's own too.
    """
    return found_by(Request.objects.order_by("-id"), _words(scrap))


def _words(scrap: str) -> list[list[Found]]:
    return ways_of_all(Request, wanted(scrap), numbers=True)


def begun_before(request: Request) -> list[Request]:
    """Other calls to finish by the same phone, e-mail or name, three at most, newest first: whoever hung up
    midway calls back, and has said part of it already."""
    same = Q()
    # Without the country before it, which not everybody types.
    if len(request.phone_digits) >= 7:
        same |= Q(phone_digits__endswith=request.phone_digits[-10:])
    if request.email:
        same |= Q(email__iexact=request.email)
    if request.caller:
        same |= Q(caller__iexact=request.caller)
    if not same:
        return []
    others = Request.objects.filter(same, waits=True).exclude(pk=request.pk)
    return list(worklist.calls(others).order_by("-pk")[:3])


_OPEN = ("draft", "open", "back at the desk")
# Of a customer's newest quotes so many are looked at for what is open.
_LATELY = 10


def quoted_before(request: Request, customers: Iterable[Customer]) -> list[Quote]:
    """Quotes of other calls that stand open for these customers, three at most, newest first, each with its `state`:
    whoever has one and calls again most often means that one."""
    theirs = Quote.objects.filter(customer__in=list(customers)).exclude(request=request)
    newest = with_states(list(theirs.select_related("acceptance").order_by("-pk")[:_LATELY]))
    return [quote for quote in newest if quote.state.word in _OPEN][:3]


_OUTCOMES = StandingQuestion(
    Opening.objects.filter(request__pk__among=KEYS).order_by().values_list("request", "outcome")
)


def outcomes_of(requests: Iterable[Request]) -> dict[int, list[str]]:
    """{request: how each of its openings came out}"""
    found: dict[int, list[str]] = defaultdict(list)
    for request, outcome in _OUTCOMES(keys=[request.pk for request in requests]):
        found[request].append(outcome)
    return found


def requests_asked_for(said: Mapping[str, Any]) -> Rows:
    """Requests with all the words, of the customer, that stand so, have an opening of the family, were taken by this
    person, on these days."""
    narrowing = {name for name, value in said.items() if value and name != "q"}
    asked = _words(said["q"])
    every = partial(_asked_for, asked, said)

    def first(count: int) -> list[int]:
        known = known_by(asked)
        if known is not None and not narrowing:
            return nlargest(count, known)
        if narrowing == {"family"} and not asked:
            return _OF_FAMILY.first(count, family=family_key(said["family"]))
        return first_keys(every(), count)

    return Rows(first, every)


_OF_FAMILY = Sliced(
    Opening.objects.filter(family=Place("family", BigIntegerField()))
    .order_by("-request_id")
    .values_list("request_id")
    .distinct()
)


def _asked_for(asked: list[list[Found]], said: Mapping[str, Any]) -> QuerySet[Request]:
    found, stands, family = (
        found_by(Request.objects.order_by("-id"), asked),
        said["stands"],
        said["family"],
    )
    if said["customer"]:
        found = found.filter(customer=said["customer"])
    if stands in ("ask", "special", "error"):
        found = found.filter(either([through(Opening.objects.filter(outcome=stands), "request")]))
    elif stands == "aside":
        found = found.filter(aside_at__isnull=False)
    elif stands:
        has_quote = Exists(Quote.objects.filter(request=OuterRef("pk")))
        found = found.filter(has_quote if stands == "quoted" else ~has_quote & Q(aside_at=None))
        if stands == "unquoted":
            found = found.filter(pk__in=worklist.begun())
    if family:
        found = found.filter(
            either([through(Opening.objects.filter(family=family_key(family)), "request")])
        )
    if said["by"]:
        found = found.filter(taken_by=said["by"])
    return found.filter(between("created_at", said["since"], said["until"]))


def last_family(username: str) -> str:
    """The family of the last opening of this person's newest calls, else of the shop's newest: the likeliest for the
    next one."""
    families = Opening.objects.order_by("-request_id", "-position").values_list(
        "family__code", flat=True
    )
    calls = Request.objects.order_by("-pk").values("pk")
    for newest in (calls.filter(taken_by=username), calls):
        # By the calls, newest first: by the openings all there are were gone through for who has none.
        if family := families.filter(request__in=newest[:_LATELY]).first():
            return family
    return ""
