"""Reads the desk's record: how the windows it told turned out. Nothing is left out but what is still open."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from statistics import median

from django.db.models import Count, Q
from django.utils import timezone

from ordering.models import OrderLine, ToldWindow
from ordering.states import Cause, Step
from sizing.lists import between

LEVEL = 0.8


@dataclass(frozen=True)
class Outcome:
    """One told window: `left_on` is None for a line that is overdue and still at the factory."""

    factory: str
    month: date
    earliest: date
    latest: date
    left_on: date | None
    today: date

    @property
    def inside(self) -> bool:
        return self.left_on is not None and self.earliest <= self.left_on <= self.latest

    @property
    def width(self) -> int:
        """Calendar days from the first to the last day of the window, both counted."""
        return (self.latest - self.earliest).days + 1

    @property
    def days_late(self) -> int:
        """Calendar days after the window's last day; of one still open, so far."""
        return max(((self.left_on or self.today) - self.latest).days, 0)


@dataclass(frozen=True)
class Group:
    """The windows told in one month, or of one factory."""

    name: str
    windows: int
    inside: int
    early: int
    late: int
    width: float
    worst: int

    @property
    def share(self) -> float:
        return self.inside / self.windows

    @property
    def share_percent(self) -> int:
        return round(100 * self.share)

    @property
    def median_width(self) -> Decimal:
        return Decimal(str(self.width))

    @classmethod
    def of(cls, name: str, outcomes: Iterable[Outcome]) -> Group:
        them = list(outcomes)
        return cls(
            name,
            len(them),
            sum(o.inside for o in them),
            sum(o.left_on is not None and o.left_on < o.earliest for o in them),
            sum(o.days_late > 0 for o in them),
            median(o.width for o in them),
            max(o.days_late for o in them),
        )


@dataclass(frozen=True)
class Record:
    """Everything, by month (the oldest first) and by factory; `open` windows are not judged yet."""

    whole: Group | None
    months: list[Group]
    factories: list[Group]
    open: int
    remakes: list[tuple[str, str, int]]


def record(factory: int | str = "", since: date | str = "", until: date | str = "") -> Record:
    """Every window told is judged once its line has left, or once its last day is over.

    Of one factory (its number) or all, told on these days or ever.
    """
    today = timezone.localdate()
    of_factory = Q(line__factory=factory) if factory else Q()
    told = (
        ToldWindow.objects.exclude(line__step=Step.CANCELLED)
        .filter(of_factory, between("told_on", since, until, moments=False))
        .values_list("line__factory__name", "told_on", "earliest", "latest", "line__left_on")
    )
    outcomes, waiting = [], 0
    for maker, told_on, earliest, latest, left_on in told.iterator():
        if left_on is None and latest >= today:
            waiting += 1
            continue
        month = told_on.replace(day=1)
        outcomes.append(Outcome(maker or "", month, earliest, latest, left_on, today))
    by_month, by_factory = defaultdict(list), defaultdict(list)
    for outcome in outcomes:
        by_month[outcome.month].append(outcome)
        by_factory[outcome.factory].append(outcome)
    return Record(
        Group.of("All", outcomes) if outcomes else None,
        [Group.of(f"{month:%b %Y}", by_month[month]) for month in sorted(by_month)],
        [Group.of(name, by_factory[name]) for name in sorted(by_factory)],
        waiting,
        _remakes(Q(factory=factory) if factory else Q(), since, until),
    )


def _remakes(of_factory: Q, since: date | str, until: date | str) -> list[tuple[str, str, int]]:
    """(family, cause, lines) of what was made a second time, the most frequent first."""
    rows = (
        OrderLine.objects.exclude(cause="")
        .filter(of_factory, between("order__placed_on", since, until, moments=False))
        .values_list("family__name", "cause")
        .annotate(lines=Count("id"))
        .order_by("-lines")
    )
    return [(family or "", Cause(cause).words, lines) for family, cause, lines in rows]
