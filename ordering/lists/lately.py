"""What a customer has ordered in the last few days: two clerks may take the same call."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import timedelta

from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from ordering.models import Order, OrderLine
from ordering.states import Step
from quotes.models import Issue, QuoteLine

# As long as a letter takes that confirms what was ordered by phone; who wants the same later means a second one.
LATELY = timedelta(days=7)


@dataclass(frozen=True)
class Lately:
    """An open order, and the numbers of the parts in it that are meant."""

    order: Order
    parts: list[str] = field(default_factory=list)


def ordered_lately(customer: int) -> list[Lately]:
    """A customer's open orders of the last days, with all their parts."""
    return _by_order(_lines(customer).filter(order__placed_on__gte=timezone.localdate() - LATELY))


def ordered_beside_quote(issue: Issue) -> list[Lately]:
    """Of these, the ones with a part of the issue that came by another call than the quote's own."""
    quote, since = issue.quote, timezone.localdate() - LATELY
    lines = _with_part_of(
        QuoteLine.objects.filter(issue=issue.pk), _lines(quote.customer_id)
    ).filter(order__placed_on__gte=since)
    if quote.request_id:
        lines = lines.exclude(order__acceptance__quote__request=quote.request_id)
    return _by_order(lines)


def ordered_beside(order: Order, lines: Iterable[OrderLine]) -> list[Lately]:
    """The customer's other open orders with a part of this one, placed a few days before it or after; asked for as
    long as one of its `lines` has not gone to a factory."""
    if not any(line.step == Step.PLACED and line.is_open and line.part_id for line in lines):
        return []
    mine = OrderLine.objects.filter(order=order.pk, step=Step.PLACED, is_open=True)
    others = _with_part_of(mine, _lines(order.customer_id)).exclude(order=order.pk)
    around = (order.placed_on - LATELY, order.placed_on + LATELY)
    return _by_order(others.filter(order__placed_on__range=around))


def _with_part_of(
    meant: QuerySet[QuoteLine] | QuerySet[OrderLine], lines: QuerySet[OrderLine]
) -> QuerySet[OrderLine]:
    """Of the lines those with a part of what is meant; one part has a row in each revision of its table."""
    same = {
        "part__part_number": OuterRef("part__part_number"),
        "part__revision__family": OuterRef("part__revision__family"),
    }
    return lines.filter(Exists(meant.filter(**same)))


def _lines(customer: int) -> QuerySet[OrderLine]:
    """Of a customer's open orders, the lines with a part that are still wanted."""
    found = OrderLine.objects.filter(
        order__customer=customer, order__is_open=True, is_open=True, part__isnull=False
    )
    return found.select_related("order", "part").order_by("-order", "number")


def _by_order(lines: Iterable[OrderLine]) -> list[Lately]:
    found: dict[int, Lately] = {}
    for line in lines:
        one = found.setdefault(line.order_id, Lately(line.order))
        if line.part_number not in one.parts:
            one.parts.append(line.part_number)
    return list(found.values())
