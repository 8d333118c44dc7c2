"""Reads the desk's record: how the windows it told turned out, as they were judged last (ordering/judged.py)."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Sum

from ordering.models import JudgedMonth, RemadeMonth
from ordering.states import Cause

LEVEL = 0.8
_COUNTS = ("open", "inside", "early", "late", "worst", "widths", "judged_on")


@dataclass(frozen=True)
class Group:
    """The windows told in one month, or of one factory. `width`: median, calendar days, both ends counted."""

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
    def of(cls, name: str, them: Sequence[Any]) -> Group | None:
        """All that was judged in these, which have a `JudgedMonth`'s counts; None if nothing was."""
        widths: Counter[int] = Counter()
        for one in them:
            widths.update({int(days): count for days, count in one.widths.items()})
        if not widths:
            return None
        return cls(
            name,
            widths.total(),
            sum(one.inside for one in them),
            sum(one.early for one in them),
            sum(one.late for one in them),
            _median(widths),
            max(one.worst for one in them),
        )


@dataclass(frozen=True)
class Record:
    """Everything, by month (the oldest first) and by factory; `open` windows are not judged yet."""

    whole: Group | None
    months: list[Group]
    factories: list[Group]
    open: int
    remakes: list[tuple[str, str, int]]
    judged_on: date | None


def record(said: dict[str, Any] | None = None) -> Record:
    """How the windows turned out that were told; of one factory (its number), from one month to another.

    `said`: "factory", "since" and "until", each "" or left out for any; months as "2031-04".
    """
    said = said or {}
    judged = _asked(JudgedMonth.objects.order_by("month", "factory__name"), said)
    rows = list(judged.values_list("month", "factory__name", *_COUNTS, named=True))
    by_month, by_maker = defaultdict(list), defaultdict(list)
    for row in rows:
        by_month[row.month].append(row)
        by_maker[row.factory__name or ""].append(row)
    months = [Group.of(f"{month:%b %Y}", them) for month, them in by_month.items()]
    makers = [Group.of(name, by_maker[name]) for name in sorted(by_maker)]
    remade = _asked(RemadeMonth.objects.all(), said).order_by().values_list("family__name", "cause")
    return Record(
        Group.of("All", rows),
        [group for group in months if group],
        [group for group in makers if group],
        sum(row.open for row in rows),
        [
            (family or "", Cause(cause).words, lines)
            for family, cause, lines in remade.annotate(all=Sum("lines")).order_by("-all")
        ],
        max((row.judged_on for row in rows), default=None),
    )


def _asked(rows: Any, said: dict[str, Any]) -> Any:
    if said.get("factory"):
        rows = rows.filter(factory=said["factory"])
    if said.get("since"):
        rows = rows.filter(month__gte=f"{said['since']}-01")
    if said.get("until"):
        rows = rows.filter(month__lte=f"{said['until']}-01")
    return rows


def _median(counts: Counter[int]) -> float:
    """The middle of what is counted, or halfway between the two in the middle."""
    total = counts.total()
    low = high = None
    before = 0
    for value in sorted(counts):
        before += counts[value]
        if low is None and before > (total - 1) // 2:
            low = value
        if before > total // 2:
            high = value
            break
    return (low + high) / 2
