"""What a list says of each order besides its own: how many lines it has, how they stand, when the next one leaves."""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from django.db.models import Count, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone

from ordering.models import Order, OrderLine
from ordering.models.orders import AWAITS_FACTORY, STILL_EXPECTED
from ordering.states import Step
from sizing.standing import KEYS, StandingQuestion


def with_lines_counted(found: QuerySet[Order]) -> QuerySet[Order]:
    """The orders with how many lines they have, and how many of them are still open."""
    lines = OrderLine.objects.filter(order=OuterRef("pk")).order_by().values("order")
    counted = lines.annotate(count=Count("pk")).values("count")
    still = lines.filter(is_open=True).annotate(count=Count("pk")).values("count")
    return found.annotate(
        line_count=Coalesce(Subquery(counted), 0), open_count=Coalesce(Subquery(still), 0)
    )


_STEPS = StandingQuestion(
    OrderLine.objects.filter(order__pk__among=KEYS)
    .order_by()
    .values_list(
        "order",
        "step",
        "is_open",
        AWAITS_FACTORY,
        STILL_EXPECTED,
        "promised_on",
        "told_likely",
        "told_latest",
    )
)


def with_steps(orders: list[Order]) -> list[Order]:
    """The orders, each with its lines' steps in words, the least advanced first, as `steps`, and as `leaves`
    the day on which the next of it is to leave its factory: the factory's own date, else the likeliest one told, while
    these are to come."""
    found: dict[int, list[tuple]] = defaultdict(list)
    for key, *line in _STEPS(keys=[order.pk for order in orders]):
        found[key].append(line)
    for order in orders:
        mine = found[order.pk]
        still = {Step(step) for step, is_open, *_rest in mine if is_open or not order.is_open}
        order.steps = "; ".join(step.words for step in Step if step in still)
        if any(awaits and not expected for _step, _open, awaits, expected, *_days in mine):
            order.steps += "; the factory can't make it"
        days = [
            _to_come(promised, likely, latest)
            for step, _open, _awaits, expected, promised, likely, latest in mine
            # Nobody knows how long it is held.
            if expected and step != Step.HELD
        ]
        order.leaves = min(filter(None, days), default=None)
    return orders


def _to_come(promised: date | None, likely: date | None, latest: date | None) -> date | None:
    """What has not left by now leaves on no past day."""
    today = timezone.localdate()
    if promised and promised >= today:
        return promised
    return max(likely, today) if likely and latest and latest >= today else None
