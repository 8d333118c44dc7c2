"""What one factory's past teaches on one day: all that answering needs, worked out once.

`learn` reads past orders, calendar and families; `lead_time` answers from what it returns, and
`packed` stores that. Dates in, arrays out; Django is not known here.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from ordering.estimator.closures import learned_calendar
from ordering.estimator.level import STILL_HEARD, Orders
from ordering.estimator.window import Outlook
from sizing.workdays import Calendar
from sizing.workdays import Span as DaysOff

# Older orders than this say little of today and cost time; and beyond so many, a fair sample does.
YEARS_READ = 4
MOST_ORDERS, NEWEST_OF_A_PART = 6000, 30
NEVER = np.datetime64("NaT", "D")


def first_read(as_of: date) -> date:
    """The first day of placing that is still looked at on a day."""
    return as_of - timedelta(days=round(YEARS_READ * 365.25))


@dataclass(frozen=True)
class Declared:
    """The factory's own word for a family, in weeks."""

    code: str
    weeks_min: int
    weeks_max: int

    @property
    def middle(self) -> float:
        """In working days."""
        return max(2.5 * (self.weeks_min + self.weeks_max), 1.0)


@dataclass(frozen=True)
class Part:
    """What is known of a part: its family's place in the list, and its weight class and finish."""

    family: int
    number: str
    weight_class: str = ""
    finish: str = ""


@dataclass(frozen=True)
class Past:
    """Past orders as columns; NaT where not shipped or not promised. `part` points into the parts.

    `heard` is the last day on which an order without a day of shipping is known to have been open, NaT: every
    day. What an import left open is not heard of again, while the desk's own orders go on.
    """

    ordered: np.ndarray
    shipped: np.ndarray
    promised: np.ndarray
    quantity: np.ndarray
    part: np.ndarray
    heard: np.ndarray = field(default_factory=lambda: np.array([], dtype="datetime64[D]"))

    def __post_init__(self) -> None:
        if not self.heard.size:
            object.__setattr__(self, "heard", np.full(self.ordered.size, NEVER))

    def as_of(self, day: date) -> Past:
        """What was known on a day of the last YEARS_READ years, in the order of placing."""
        rows = np.flatnonzero(
            (self.ordered <= np.datetime64(day)) & (self.ordered >= np.datetime64(first_read(day)))
        )
        rows = rows[np.argsort(self.ordered[rows], kind="stable")]
        known = self.take(rows)
        later = ~(known.shipped <= np.datetime64(day))
        shipped = np.where(later, NEVER, known.shipped)
        # A promise for a day before the order is none; comparing with NaT is False as well.
        kept = known.promised >= known.ordered
        promised = np.where(kept, known.promised, NEVER)
        return replace(known, shipped=shipped, promised=promised)

    def due(self, days: np.ndarray) -> np.ndarray:
        """How many orders are known to have waited at their factory on each of some days for as long as the
        quickest quarter takes: what might have left.
        """
        left = ~np.isnat(self.shipped)
        took = (
            np.quantile((self.shipped - self.ordered)[left].astype(int), 0.25) if left.any() else 0
        )
        ripe = self.ordered + int(took)
        over = np.where(left, self.shipped, self.heard)
        kept = np.isnat(over) | (over >= ripe)
        over = over[kept & ~np.isnat(over)]
        placed, over = np.sort(ripe[kept]), np.sort(over)
        return np.searchsorted(placed, days, "right") - np.searchsorted(over, days, "left")

    def take(self, rows: np.ndarray) -> Past:
        return Past(*(getattr(self, name)[rows] for name in self.__dataclass_fields__))

    def last_day(self, as_of: date) -> int:
        """The last day the past speaks of: orders open in an old export are not open until today."""
        days = np.concatenate([self.ordered, self.shipped])
        days = days[~np.isnat(days)]
        return int((days.max() if days.size else np.datetime64(as_of)).astype(int))


@dataclass(frozen=True)
class Shipped:
    """How many orders of each part in `part` have shipped, and the day the first was placed."""

    part: np.ndarray
    count: np.ndarray
    since: np.ndarray

    @classmethod
    def of(cls, past: Past) -> Shipped:
        rows = np.flatnonzero(~np.isnat(past.shipped))
        # Orders lie in the order of placing, so the first of a part is its earliest.
        part, first, count = np.unique(past.part[rows], return_index=True, return_counts=True)
        return cls(part, count, past.ordered[rows[first]])


@dataclass(frozen=True)
class Learned:
    """`usual_delay` is the median of shipped less promised in working days, None for fewer than three
    promises; `usual_quantity` what an order of no known quantity is taken to have.
    """

    as_of: date
    families: list[Declared]
    parts: list[Part]
    calendar: Calendar
    outlook: Outlook
    shipped: Shipped
    usual_delay: int | None
    usual_quantity: float

    @cached_property
    def place_of_family(self) -> dict[str, int]:
        return {family.code: place for place, family in enumerate(self.families)}

    @cached_property
    def place_of_part(self) -> dict[tuple[int, str], int]:
        return {(part.family, part.number): place for place, part in enumerate(self.parts)}

    @cached_property
    def codes(self) -> np.ndarray:
        return group_codes(self.parts)


def learn(
    families: list[Declared],
    parts: list[Part],
    past: Past,
    as_of: date,
    *,
    country: str = "US",
    region: str = "",
    shutdowns: tuple[DaysOff, ...] = (),
    half_life: float = 180.0,
) -> Learned:
    """Everything up to `as_of`; what `past` knows of later days is not looked at."""
    past = past.as_of(as_of)
    calendar = learned_calendar(country, region, shutdowns, past.shipped, as_of, past.due)
    sample = past.take(fair_sample(np.arange(past.ordered.size), past.part))
    orders = columns(sample, families, group_codes(parts), calendar)
    return Learned(
        as_of, families, parts, calendar,
        Outlook.of(orders, past.last_day(as_of), calendar.rank_gone, half_life),
        Shipped.of(past), _usual_delay(past, calendar), _usual_quantity(past),
    )  # fmt: skip


def group_codes(parts: list[Part]) -> np.ndarray:
    """(4, parts) group codes: family, weight class and finish within it, part; -1 where not said."""
    keys: tuple[dict[tuple[int, str], int], dict[tuple[int, str], int]] = ({}, {})
    columns = []
    for number, part in enumerate(parts):
        inner = [
            known.setdefault((part.family, word), len(known)) if word else -1
            for known, word in zip(keys, (part.weight_class, part.finish), strict=True)
        ]
        columns.append((part.family, *inner, number))
    return np.array(columns, dtype=int).reshape(-1, 4).T


def columns(
    past: Past, families: list[Declared], part_codes: np.ndarray, calendar: Calendar
) -> Orders:
    done, promised = ~np.isnat(past.shipped), ~np.isnat(past.promised)
    lead = calendar.between(past.ordered, np.where(done, past.shipped, past.ordered))
    # A whole day d stands for anything within half a day of it; spread evenly, ties vanish.
    within = (np.arange(lead.size) * 0.6180339887498949) % 1 - 0.5
    said = calendar.between(past.ordered, np.where(promised, past.promised, past.ordered))
    codes = part_codes[:, past.part]
    return Orders(
        placed=past.ordered.astype(int),
        rank=calendar.rank(past.ordered),
        shipped=np.where(done, past.shipped.astype(int), np.iinfo(np.int64).max),
        lead=np.where(done, np.maximum(lead + within, 0.4), np.nan),
        middle=np.array([family.middle for family in families])[codes[0]],
        quantity=past.quantity.astype(float),
        promised=np.where(promised, said, np.nan),
        groups=codes,
        heard=np.where(
            np.isnat(past.heard),
            STILL_HEARD,
            calendar.rank(np.where(np.isnat(past.heard), past.ordered, past.heard)),
        ),
    )


def _usual_delay(past: Past, calendar: Calendar) -> int | None:
    kept = np.flatnonzero(~np.isnat(past.promised) & ~np.isnat(past.shipped))[-200:]
    if kept.size < 3:
        return None
    return int(np.rint(np.median(calendar.between(past.promised[kept], past.shipped[kept]))))


def _usual_quantity(past: Past) -> float:
    recent = past.quantity[-1000:]
    return float(np.exp(np.log(np.maximum(recent, 1)).mean())) if recent.size else 1.0


def fair_sample(rows: np.ndarray, part: np.ndarray) -> np.ndarray:
    """At most about MOST_ORDERS of `rows`: the newest of every part, and an even draw of the rest.

    The draw looks at nothing but the order of placing, so that it can't favour quick orders.
    """
    if rows.size <= MOST_ORDERS:
        return rows
    codes = part[rows][::-1]
    by_part = np.argsort(codes, kind="stable")
    starts = np.r_[0, np.flatnonzero(np.diff(codes[by_part])) + 1]
    place = np.arange(rows.size) - np.repeat(starts, np.diff(np.r_[starts, rows.size]))
    newest = np.zeros(rows.size, dtype=bool)
    newest[by_part] = place < NEWEST_OF_A_PART
    newest = newest[::-1]
    drawn = [_even(np.flatnonzero(side), MOST_ORDERS // 2) for side in (newest, ~newest)]
    return rows[np.sort(np.concatenate(drawn))]


def _even(rows: np.ndarray, most: int) -> np.ndarray:
    if rows.size <= most:
        return rows
    return rows[np.linspace(0, rows.size - 1, most).astype(int)]
