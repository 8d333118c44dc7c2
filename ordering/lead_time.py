"""One factory's lead times on one day: dates and words, from its past orders and its calendar.

Joins the calendar (`closures`), the forecasts (`forecast`) and the windows (`window`). Dates in,
dates out; Django is not known here.

The declared weeks are calendar weeks from the day of the order, a day off rolling forward to the
next working day; weeks the factory is shut are put on top. So 4 to 8 weeks from a Monday without
history is the Monday four and the Monday eight weeks later.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from ordering.basis import Basis, LikeOrders
from ordering.closures import learned_calendar
from ordering.level import Orders
from ordering.window import Outlook, Span
from sizing.workdays import Calendar
from sizing.workdays import Span as DaysOff

# Older orders than this say little of today and cost time; and beyond so many, a fair sample does.
YEARS_READ = 4
MOST_ORDERS, NEWEST_OF_A_PART = 6000, 30
HALF_YEAR = 183


def first_read(as_of: date) -> date:
    """The first day of placing that is still looked at on a day."""
    return as_of - timedelta(days=round(YEARS_READ * 365.25))


@dataclass(frozen=True)
class Declared:
    """The factory's own word for a family, in weeks."""

    code: str
    weeks_min: int
    weeks_max: int


@dataclass(frozen=True)
class Shortage:
    """A manager's word: orders of this family and finish (None: all) start no sooner than `until`."""

    until: date
    family: str | None = None
    finish: str | None = None
    reason: str = ""


@dataclass(frozen=True)
class Part:
    """What is known of a part: its family's place in the list, and its weight class and finish."""

    family: int
    number: str
    weight_class: str = ""
    finish: str = ""


@dataclass(frozen=True)
class Past:
    """Past orders as columns; NaT where not shipped or not promised. `part` points into `parts`."""

    ordered: np.ndarray
    shipped: np.ndarray
    promised: np.ndarray
    quantity: np.ndarray
    part: np.ndarray

    def as_of(self, day: date) -> Past:
        """What was known on a day of the last YEARS_READ years, in the order of placing."""
        rows = np.flatnonzero(
            (self.ordered <= np.datetime64(day)) & (self.ordered >= np.datetime64(first_read(day)))
        )
        rows = rows[np.argsort(self.ordered[rows], kind="stable")]
        known = self.take(rows)
        later = ~(known.shipped <= np.datetime64(day))
        shipped = np.where(later, np.datetime64("NaT"), known.shipped)
        # A promise for a day before the order is none; comparing with NaT is False as well.
        kept = known.promised >= known.ordered
        promised = np.where(kept, known.promised, np.datetime64("NaT"))
        return Past(known.ordered, shipped, promised, known.quantity, known.part)

    def take(self, rows: np.ndarray) -> Past:
        return Past(*(getattr(self, name)[rows] for name in self.__dataclass_fields__))


@dataclass(frozen=True)
class Window:
    earliest: date
    likely: date
    latest: date
    basis: str


@dataclass
class FactoryLeadTimes:
    """Answers about one factory as of one day. Fits once, at the first question."""

    families: list[Declared]
    parts: list[Part]
    past: Past
    as_of: date
    country: str = "US"
    region: str = ""
    shutdowns: tuple[DaysOff, ...] = ()
    shortages: tuple[Shortage, ...] = ()
    level: float = 0.8
    half_life: float = 180.0
    _part_of: dict[tuple[int, str], int] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        self.past = self.past.as_of(self.as_of)
        self._part_of.update({(p.family, p.number): i for i, p in enumerate(self.parts)})
        self._family_of = {f.code: i for i, f in enumerate(self.families)}

    @cached_property
    def calendar(self) -> Calendar:
        return learned_calendar(
            self.country, self.region, self.shutdowns, self.past.shipped, self.as_of
        )

    @cached_property
    def _declared_calendar(self) -> Calendar:
        return self.calendar.without_shutdowns()

    @cached_property
    def outlook(self) -> Outlook:
        rows = fair_sample(np.arange(self.past.ordered.size), self.past.part)
        return Outlook(
            self._columns(self.past.take(rows)),
            self._known_until,
            self.calendar.rank_gone,
            self.half_life,
        )

    @cached_property
    def _known_until(self) -> int:
        """The last day the past speaks of: orders open in an old export are not open until today."""
        last = max(
            (days[~np.isnat(days)].max() for days in (self.past.ordered, self.past.shipped)
             if not np.isnat(days).all()),
            default=np.datetime64(self.as_of),
        )  # fmt: skip
        return int(last.astype(int))

    @cached_property
    def like_orders(self) -> LikeOrders:
        return LikeOrders(self.parts, self.past)

    @cached_property
    def change(self) -> float:
        """Log change of the factory's pace against half a year before; 0 where that is not known."""
        now = self.outlook.walk.now
        if now.knots.size < 3 or now.knots[-1] - now.knots[0] < HALF_YEAR:
            return 0.0
        levels = now.beta[: now.knots.size]
        return float(levels[-1] - np.interp(now.knots[-1] - HALF_YEAR, now.knots, levels))

    @cached_property
    def usual_delay(self) -> int | None:
        """Median of shipped less promised in working days; None for fewer than three promises."""
        kept = np.flatnonzero(~np.isnat(self.past.promised) & ~np.isnat(self.past.shipped))[-200:]
        if kept.size < 3:
            return None
        days = self.calendar.between(self.past.promised[kept], self.past.shipped[kept])
        return int(np.rint(np.median(days)))

    @property
    def _day(self) -> int:
        return (self.as_of - date(1970, 1, 1)).days

    @cached_property
    def _codes(self) -> np.ndarray:
        """(4, parts) group codes: family, weight class and finish within it, part; -1 where not said."""
        keys: tuple[dict, dict] = ({}, {})
        columns = []
        for number, part in enumerate(self.parts):
            inner = [
                known.setdefault((part.family, word), len(known)) if word else -1
                for known, word in zip(keys, (part.weight_class, part.finish), strict=True)
            ]
            columns.append((part.family, *inner, number))
        return np.array(columns, dtype=int).reshape(-1, 4).T

    def _columns(self, past: Past) -> Orders:
        calendar, done = self.calendar, ~np.isnat(past.shipped)
        promised = ~np.isnat(past.promised)
        lead = calendar.between(past.ordered, np.where(done, past.shipped, past.ordered))
        # A whole day d stands for anything within half a day of it; spread evenly, ties vanish.
        within = (np.arange(lead.size) * 0.6180339887498949) % 1 - 0.5
        said = calendar.between(past.ordered, np.where(promised, past.promised, past.ordered))
        codes = self._codes[:, past.part]
        middle = np.array([2.5 * (f.weeks_min + f.weeks_max) for f in self.families])
        return Orders(
            placed=past.ordered.astype(int),
            rank=calendar.rank(past.ordered),
            shipped=np.where(done, past.shipped.astype(int), np.iinfo(np.int64).max),
            lead=np.where(done, np.maximum(lead + within, 0.4), np.nan),
            middle=np.maximum(middle[codes[0]], 1.0),
            quantity=past.quantity.astype(float),
            promised=np.where(promised, said, np.nan),
            groups=codes,
        )

    def of_open(
        self,
        family: str,
        number: str,
        quantity: float,
        placed: date,
        promised: date | None = None,
        level: float | None = None,
    ) -> Window:
        """The window of an order still open on the as-of day."""
        said = promised if promised and promised >= placed else None
        return self._window(self._part(family, number), placed, quantity, said, level)

    def of_part(
        self,
        family: str,
        number: str,
        on: date,
        quantity: float | None = None,
        level: float | None = None,
    ) -> Window:
        """The window of a part ordered on a day; of one ordered before `as_of`, given it is still open.

        Without a quantity the factory's usual one is meant.
        """
        return self._window(self._part(family, number), on, quantity, None, level)

    def _part(self, family: str, number: str) -> Part:
        place = self._family_of[family]
        known = self._part_of.get((place, number))
        return Part(place, number) if known is None else self.parts[known]

    @cached_property
    def _usual_quantity(self) -> float:
        recent = self.past.quantity[-1000:]
        return float(np.exp(np.log(np.maximum(recent, 1)).mean())) if recent.size else 1.0

    def _window(
        self,
        part: Part,
        placed: date,
        quantity: float | None,
        promised: date | None,
        level: float | None,
    ) -> Window:
        shortage = self._shortage(part, placed)
        start = max(placed, shortage.until) if shortage else placed
        span, basis = self._span(part, start, quantity, promised, level or self.level)
        basis.shortage = shortage
        dates = [
            self.calendar.add_workdays(start, n) for n in (span.earliest, span.likely, span.latest)
        ]
        basis.shut = self._shut_between(start, dates[2])
        return Window(*dates, basis.words())

    def published(self, part: Part | None, family: str) -> tuple[Span, str]:
        """Working days for an order of today, for the list of windows; None: the family as such."""
        part = part or Part(self._family_of[family], "")
        declared = self.families[part.family]
        low, high = 5 * declared.weeks_min, 5 * declared.weeks_max
        span, basis = self._span(part, self.as_of, None, None, self.level, (low, high))
        basis.shortage = self._shortage(part, self.as_of)
        return span, basis.words()

    def _span(
        self,
        part: Part,
        start: date,
        quantity: float | None,
        promised: date | None,
        level: float,
        declared: tuple[int, int] | None = None,
    ) -> tuple[Span, Basis]:
        low, high = declared or self._declared(part.family, start)
        asked = self._asked(part, start, quantity)
        middle, spread = self.outlook.walk.forecast(asked)
        gone = self.calendar.rank_gone(self._day) - int(asked.rank[0])
        waited = gone if self.as_of > start and gone >= 0 else None
        said = None
        if promised is not None:
            said = float(self.calendar.workdays_between(start, promised))
        span = self.outlook.span(
            tuple(asked.groups[:, 0].tolist()), low, high, float(middle[0]), float(spread[0]),
            level, waited, said,
        )  # fmt: skip
        return span, Basis.of(self, part, promised, waited)

    def _asked(self, part: Part, placed: date, quantity: float | None) -> Orders:
        place = self._part_of.get((part.family, part.number))
        codes = np.array([part.family, -1, -1, -1]) if place is None else self._codes[:, place]
        declared = self.families[part.family]
        day = np.array([np.datetime64(placed)])
        return Orders(
            placed=day.astype(int),
            rank=self.calendar.rank(day),
            shipped=np.array([np.iinfo(np.int64).max]),
            lead=np.array([np.nan]),
            middle=np.array([max(2.5 * (declared.weeks_min + declared.weeks_max), 1.0)]),
            quantity=np.array([quantity or self._usual_quantity], dtype=float),
            promised=np.array([np.nan]),
            groups=codes.reshape(4, 1),
        )

    def _declared(self, family: int, placed: date) -> tuple[int, int]:
        declared, calendar = self.families[family], self._declared_calendar
        low, high = (
            calendar.workdays_between(placed, placed + timedelta(weeks=weeks))
            for weeks in (declared.weeks_min, declared.weeks_max)
        )
        return low, max(high, low)

    def _shortage(self, part: Part, placed: date) -> Shortage | None:
        code = self.families[part.family].code
        meant = [
            s
            for s in self.shortages
            if s.until > max(placed, self.as_of)
            and s.family in (None, code)
            and s.finish in (None, part.finish)
        ]
        return max(meant, key=lambda s: s.until, default=None)

    def _shut_between(self, first: date, last: date) -> DaysOff | None:
        first = max(first, self.as_of)
        return next(
            ((a, b) for a, b in self.calendar.shutdowns if a <= last and b >= first and b > a), None
        )


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
