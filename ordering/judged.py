"""Judges every window that was told, each night: by its line's leaving, or when its last day was over.

Nothing is left out but what is still open. What came of them is kept by factory and month, so that the
desk's record reads a few hundred rows however many orders there have been.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from django.db import transaction
from django.db.models import Count
from django.db.models.functions import TruncMonth

from ordering.models import JudgedMonth, OrderLine, RemadeMonth, ToldWindow
from ordering.states import Step
from sizing.models import Factory

AT_ONCE = 2000


@dataclass
class Tally:
    """What came of the windows of one factory and month; `widths`: how many were how many days wide."""

    open: int = 0
    inside: int = 0
    early: int = 0
    late: int = 0
    worst: int = 0
    widths: Counter[int] = field(default_factory=Counter)

    def judge(self, earliest: date, latest: date, left_on: date | None, today: date) -> None:
        """`left_on` is None for a line that is still at the factory. Both ends count as inside."""
        if left_on is None and latest >= today:
            self.open += 1
            return
        self.widths[(latest - earliest).days + 1] += 1
        days_late = ((left_on or today) - latest).days
        if days_late > 0:
            self.late += 1
            self.worst = max(self.worst, days_late)
        elif left_on is not None and left_on < earliest:
            self.early += 1
        else:
            self.inside += 1


def judge_all(today: date) -> int:
    """Replace what was judged by how things stand on a day; how many factories and months there are."""
    told = (
        ToldWindow.objects.exclude(line__step=Step.CANCELLED)
        .order_by()
        .values_list("line__factory", "told_on", "earliest", "latest", "line__left_on")
    )
    tallies: dict[tuple[int | None, date], Tally] = {}
    for factory, told_on, earliest, latest, left_on in told.iterator(AT_ONCE):
        tally = tallies.setdefault((factory, told_on.replace(day=1)), Tally())
        tally.judge(earliest, latest, left_on, today)
    remade = list(_remade())
    # Read before the transaction: it takes its time, and others are waiting to write.
    with transaction.atomic():
        # Two workers on one morning: the second waits here and then replaces what the first has written.
        Factory.objects.select_for_update(no_key=True).order_by("pk").first()
        JudgedMonth.objects.all().delete()
        JudgedMonth.objects.bulk_create(
            JudgedMonth(factory_id=factory, month=month, judged_on=today, **vars(tally))
            for (factory, month), tally in tallies.items()
        )
        RemadeMonth.objects.all().delete()
        RemadeMonth.objects.bulk_create(remade)
    return len(tallies)


def _remade() -> Iterator[RemadeMonth]:
    """Lines made a second time, by factory, month of the order, family and cause."""
    rows = (
        OrderLine.objects.exclude(cause="")
        .order_by()
        .annotate(month=TruncMonth("order__placed_on"))
        .values_list("factory", "family", "month", "cause")
        .annotate(lines=Count("id"))
    )
    for factory, family, month, cause, lines in rows:
        yield RemadeMonth(
            factory_id=factory, family_id=family, month=month, cause=cause, lines=lines
        )
