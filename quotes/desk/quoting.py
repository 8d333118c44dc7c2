"""Writes quotes from a request: a draft for each currency, and its lines anew. One transaction each."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from quotes import worklist
from quotes.desk.drafts import QuoteError, draft, next_issue
from quotes.desk.holding import refuse_erased
from quotes.desk.people import customer_for
from quotes.documents.naming import name_of, special_words
from quotes.lists.prices import parts_in_force
from quotes.lists.specials import price_is_outdated
from quotes.models import (
    Issue,
    LineOpening,
    Opening,
    Quote,
    QuoteLine,
    Request,
    ScheduleLine,
)
from sizing.models import Part

# Openings left out of a quote that are told one by one.
MOST_LEFT_OUT = 5
# Rows of a schedule that are named.
MOST_ROWS = 20


@transaction.atomic
def begin_quotes(request_pk: int, by: str) -> list[Quote]:
    """The draft quotes of a request, one for each currency its families are priced in.

    Pressed twice it finds the drafts of the first press, their lines taken anew from the request.
    Raises QuoteError if no opening is ready for a line.
    """
    request = Request.objects.select_for_update().get(pk=request_pk)
    ready = _ready(request)
    if not ready:
        raise QuoteError(_nothing_yet(request))
    issues = []
    for currency in dict.fromkeys(opening.revision.currency for opening in ready):
        issue = _draft_of(request, currency) or _first_issue(request, currency, by)
        take_lines(issue)
        issues.append(issue)
    worklist.note(request.pk)
    return [issue.quote for issue in issues]


def _nothing_yet(request: Request) -> str:
    """What stands in the way of a quote, by opening."""
    names = [name_of(opening) for opening in request.openings.all()[: MOST_LEFT_OUT + 1]]
    if not names:
        return "This request has no opening yet: add one, and type what was measured."
    which = "; ".join([*names[:MOST_LEFT_OUT], *(["and others"] if names[MOST_LEFT_OUT:] else [])])
    return f"No opening of this request has a part or is a special yet. Answer first what is asked: {which}."


def _draft_of(request: Request, currency: str) -> Issue | None:
    """The draft of the request's quote that is still open, begun if need be."""
    quotes = request.quotes.filter(currency=currency, acceptance=None)
    quote = quotes.order_by("-pk").first()
    return next_issue(quote.pk) if quote else None


def _first_issue(request: Request, currency: str, by: str) -> Issue:
    customer = customer_for(request)
    refuse_erased(customer.pk, QuoteError)
    if request.customer_id != customer.pk:
        Request.objects.filter(pk=request.pk).update(customer=customer)
    quote = Quote.objects.create(request=request, customer=customer, currency=currency, taken_by=by)
    ship_to = customer.addresses.first()
    return Issue.objects.create(quote=quote, number=1, ship_to=ship_to, pickup=ship_to is None)


def left_out(request: Request) -> list[str]:
    """Windows that no line can be made of yet: openings, each with what stands in its way, many in one sentence; and
    lines of its schedule that are no openings, as they can't be read."""
    return [*_openings_left_out(request), *_rows_left_out(request)]


def _rows_left_out(request: Request) -> list[str]:
    lines = ScheduleLine.objects.filter(
        schedule__request=request, attention=ScheduleLine.Attention.UNREADABLE
    )
    found = list(lines.order_by("row").values_list("row", "schedule__name"))
    if not found:
        return []
    rows = [str(row) for row, _ in found]
    *some, last = rows if len(rows) <= MOST_ROWS else [*rows[:MOST_ROWS], "more"]
    what = f"Rows {', '.join(some)} and {last}" if some else f"Row {last}"
    return [
        f"{what} of {found[0][1]} can't be read and {'are' if some else 'is'} not in it: mend or leave out each "
        "on the schedule's page."
    ]


def _openings_left_out(request: Request) -> list[str]:
    ready = {opening.pk for opening in _ready(request)}
    out = [opening for opening in request.openings.all() if opening.pk not in ready]
    if len(out) > MOST_LEFT_OUT:
        names = "; ".join(name_of(opening) for opening in out)
        return [f"{len(out)} openings are left out, their questions are not answered yet: {names}."]
    return [
        f"{name_of(opening)} is left out: {opening.answer.get('text') or 'not answered yet'}"
        for opening in out
    ]


def _ready(request: Request) -> list[Opening]:
    openings = request.openings.select_related(
        "revision__family", "part__revision", "override_part__revision"
    )
    return [o for o in openings.prefetch_related("specials") if o.part_to_order or o.is_special]


@transaction.atomic
def take_lines(issue: Issue) -> None:
    """Part and special lines anew from the request: the same part adds up, each special by itself.

    Lines made by hand stay; a special that already has its price keeps it. Raises QuoteError.
    """
    issue = draft(issue.pk)
    wanted = [o for o in _ready(issue.quote.request) if o.revision.currency == issue.quote.currency]
    specials = {opening.pk: opening for opening in wanted if opening.part_to_order is None}
    issue.lines.filter(kind=QuoteLine.Kind.PART).delete()
    by_hand, kept, gone = [], {}, []
    for line in issue.lines.prefetch_related("openings").order_by("pk"):
        opening = next(iter(line.openings.all()), None)
        if line.kind != QuoteLine.Kind.SPECIAL or opening is None:
            by_hand.append(line)
        elif opening.pk in specials:
            kept[opening.pk] = line
            _keep_special(line, specials[opening.pk])
        else:
            gone.append(line.pk)
    QuoteLine.objects.filter(pk__in=gone).delete()
    taken = _part_lines(issue, [opening for opening in wanted if opening.pk not in specials])
    for pk, opening in specials.items():
        taken.append((kept.get(pk) or _special_line(issue, opening), [opening]))
    _store(taken, by_hand)


# A line and the openings that it is for.
Taken = tuple[QuoteLine, list[Opening]]


def _part_lines(issue: Issue, openings: Iterable[Opening]) -> list[Taken]:
    groups: dict[tuple[int, str], list[Opening]] = {}
    for opening in openings:
        groups.setdefault(which(opening.part_to_order), []).append(opening)
    chosen = [group[0].part_to_order for group in groups.values()]
    in_force = parts_in_force(chosen, timezone.localdate())
    return [
        (_part_line(issue, group, part, in_force.get(part.pk)), group)
        for part, group in zip(chosen, groups.values(), strict=True)
    ]


def _part_line(issue: Issue, openings: list[Opening], part: Part, now: Part | None) -> QuoteLine:
    price = now.price if now else None
    same = price is not None and price.currency.code == issue.quote.currency
    return QuoteLine(
        issue=issue,
        kind=QuoteLine.Kind.PART,
        part=now or part,
        quantity=sum(opening.quantity for opening in openings),
        sold_as=(now or part).revision.sold_as,
        unit_price=price.amount if same else None,
    )


def _keep_special(line: QuoteLine, opening: Opening) -> None:
    """A special's line as it is, without its price if the factory gave that for other measures."""
    line.quantity = opening.quantity
    if price_is_outdated(opening, line.unit_price):
        line.unit_price = line.factory_cost = line.factory_valid_until = line.margin_percent = None
        line.lead_words = ""


def _special_line(issue: Issue, opening: Opening) -> QuoteLine:
    return QuoteLine(
        issue=issue,
        kind=QuoteLine.Kind.SPECIAL,
        description=special_words(opening),
        quantity=opening.quantity,
        sold_as=opening.revision.sold_as,
    )


def _store(taken: list[Taken], by_hand: list[QuoteLine]) -> None:
    """Lines in the order of their openings, those made by hand last."""
    taken.sort(key=lambda one: one[1][0].position)
    lines = [*(line for line, _ in taken), *by_hand]
    for position, line in enumerate(lines):
        line.position = position
    new = [(line, openings) for line, openings in taken if line.pk is None]
    stored = [line for line in lines if line.pk]
    QuoteLine.objects.bulk_create(line for line, _ in new)
    LineOpening.objects.bulk_create(
        LineOpening(line=line, opening=opening) for line, openings in new for opening in openings
    )
    QuoteLine.objects.bulk_update(stored, KEPT)


KEPT = (
    "position", "quantity", "unit_price", "factory_cost", "factory_cost_currency",
    "factory_valid_until", "margin_percent", "lead_words",
)  # fmt: skip


def which(part: Part) -> tuple[int, str]:
    """What makes two parts the same in a quote, whichever revision they are of: family and number."""
    return part.revision.family_id, part.part_number
