"""Why a window is what it is, in words a clerk can read out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from ordering.lead_time import FactoryLeadTimes, Shortage
    from ordering.learned import Part, Shipped
    from sizing.workdays import Span as DaysOff

ENOUGH = 8  # orders of one part speak for it; fewer, and the next wider group is named
SLOWER = 0.08  # on the log scale: a change of 8 % is worth a word
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


@dataclass
class Basis:
    """What went into one window; `words` gives one line of at most 255 characters."""

    shipped: int
    since: date | None
    kind: str
    weeks: tuple[int, int]
    as_of: date
    promised: date | None = None
    promise_days: int | None = None
    waited: int | None = None
    change: float = 0.0
    shortage: Shortage | None = None
    shut: DaysOff | None = None

    @classmethod
    def of(
        cls, factory: FactoryLeadTimes, part: Part, promised: date | None, waited: int | None
    ) -> Basis:
        shipped, since, kind = factory.like_orders.of(part)
        declared = factory.learned.families[part.family]
        basis = cls(
            shipped, since, kind, (declared.weeks_min, declared.weeks_max), factory.as_of, promised
        )
        basis.waited = waited
        if shipped:
            basis.change = factory.change
            if promised is not None:
                basis.promise_days = factory.learned.usual_delay
        return basis

    def words(self) -> str:
        low, high = self.weeks
        said = f"{low} to {high} weeks" if high > low else f"{low} week{'s' * (low != 1)}"
        if self.shipped:
            orders = f"order{'s' * (self.shipped != 1)}"
            since = f" since {_month(self.since, self.as_of)}" if self.since else ""
            parts = [f"{self.shipped} {orders} of this {self.kind}{since}; the factory says {said}"]
        else:
            parts = [f"No order of this factory has shipped yet; the factory says {said}"]
        if self.promised:
            day = f"{self.promised.day} {self.promised:%B %Y}"
            parts.append(f"it promised {day}{self._promise_record()}")
        if self.waited:
            parts.append(f"{self.waited} working day{'s' * (self.waited != 1)} gone")
        if abs(self.change) >= SLOWER:
            pace = "slower" if self.change > 0 else "quicker"
            parts.append(f"{abs(np.expm1(self.change)) * 100:.0f} % {pace} than half a year ago")
        if self.shortage:
            reason = f" ({self.shortage.reason})" if self.shortage.reason else ""
            parts.append(f"shortage until {self.shortage.until}{reason}")
        if self.shut:
            parts.append(f"shut {self.shut[0]} to {self.shut[1]}")
        return "; ".join(parts)[:255]

    def _promise_record(self) -> str:
        if self.promise_days is None:
            return ""
        if self.promise_days == 0:
            return ", and usually ships on the day"
        late = "after" if self.promise_days > 0 else "before"
        days = abs(self.promise_days)
        return f", and usually ships {days} working day{'s' * (days != 1)} {late}"


def _month(day: date, today: date) -> str:
    return MONTHS[day.month - 1] + (f" {day.year}" if day.year != today.year else "")


class LikeOrders:
    """Adds up the shipped orders of each part and of each wider group, once for a factory."""

    def __init__(self, parts: list[Part], shipped: Shipped) -> None:
        self._counts: dict[tuple, tuple[int, date]] = {}
        rows = (shipped.part.tolist(), shipped.since.tolist(), shipped.count.tolist())
        for number, day, count in zip(*rows, strict=True):
            for _, key in _groups(parts[number]):
                before, earliest = self._counts.get(key, (0, day))
                self._counts[key] = (before + count, min(earliest, day))

    def of(self, part: Part) -> tuple[int, date | None, str]:
        """(orders, the first one's day, what they share): the narrowest group with enough of them."""
        for kind, key in _groups(part):
            count, since = self._counts.get(key, (0, None))
            if count >= ENOUGH or (kind == "factory" and count):
                return count, since, kind
        return 0, None, "factory"


def _groups(part: Part) -> list[tuple[str, tuple]]:
    groups: list[tuple[str, tuple]] = [
        ("family", (part.family,)),
        ("factory", ()),
    ]
    if part.weight_class or part.finish:
        like = (part.family, part.weight_class, part.finish)
        groups.insert(0, ("weight class and finish", like))
    if part.number:
        groups.insert(0, ("part", (part.family, part.number)))
    return groups
