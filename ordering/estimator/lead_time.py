"""One factory's lead times on one day: dates and words, from its past orders and its calendar.

Answers from what was learned of the factory's past (`learned`). Dates in, dates out; Django is not
known here.

The declared weeks are calendar weeks from the day of the order (`Calendar.workdays_in_weeks`), a day
off rolling forward to the next working day. So 4 to 8 weeks from a Monday without history is the Monday four and the Monday eight weeks
later.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property

import numpy as np

from ordering.estimator.basis import Basis, LikeOrders
from ordering.estimator.learned import Declared, Learned, Part
from ordering.estimator.level import STILL_HEARD, Orders
from ordering.estimator.window import Span
from sizing.workdays import Calendar
from sizing.workdays import Span as DaysOff

HALF_YEAR = 183
# From and to, as a factory says them.
Weeks = tuple[int, int]


@dataclass(frozen=True)
class Shortage:
    """A manager's word: orders of this family and finish (None: all) start no sooner than `until`."""

    until: date
    family: str | None = None
    finish: str | None = None
    reason: str = ""


@dataclass(frozen=True)
class Window:
    earliest: date
    likely: date
    latest: date
    basis: str


@dataclass(frozen=True)
class FactoryLeadTimes:
    """Answers about one factory as of the day of what was learned; `level` is the share of windows
    that are to hold.
    """

    learned: Learned
    shortages: tuple[Shortage, ...] = ()
    level: float = 0.8

    @property
    def as_of(self) -> date:
        return self.learned.as_of

    @property
    def calendar(self) -> Calendar:
        return self.learned.calendar

    @cached_property
    def like_orders(self) -> LikeOrders:
        return LikeOrders(self.learned.parts, self.learned.shipped)

    @cached_property
    def change(self) -> float:
        """Log change of the factory's pace against half a year before; 0 where that is not known."""
        now = self.learned.outlook.fits.now
        if now.knots.size < 3 or now.knots[-1] - now.knots[0] < HALF_YEAR:
            return 0.0
        levels = now.beta[: now.knots.size]
        return float(levels[-1] - np.interp(now.knots[-1] - HALF_YEAR, now.knots, levels))

    @cached_property
    def _rank_gone(self) -> int:
        return self.calendar.rank_gone((self.as_of - date(1970, 1, 1)).days)

    def knows(self, family: str) -> bool:
        """Whether the family (a code; blank: none in particular) was there when this was learned."""
        return not family or family in self.learned.place_of_family

    def of_open(
        self,
        family: str,
        number: str,
        quantity: float,
        placed: date,
        promised: date | None = None,
        level: float | None = None,
        weeks: Weeks | None = None,
        slipped: bool = False,
        begun: bool = False,
    ) -> Window:
        """The window of an order still open on the as-of day; `weeks` as in `of_part`. `slipped`: the factory
        had promised an earlier day before. `begun`: it is being made, so no shortage holds it up."""
        said = promised if promised and promised >= placed else None
        part = self._part(family, number)
        shortage = None if begun else self._shortage(part, placed)
        return self._window(part, placed, quantity, said, level, weeks, shortage, slipped)

    def of_part(
        self,
        family: str,
        number: str,
        on: date,
        quantity: float | None = None,
        level: float | None = None,
        weeks: Weeks | None = None,
    ) -> Window:
        """The window of a part ordered on a day; of one ordered before `as_of`, given it is still open.

        Without a quantity the factory's usual one is meant. `weeks` is what the factory said for just
        this order, a special: it takes the place of what is declared for the family, and how the factory
        keeps its word is learned from all of its orders.
        """
        part = self._part(family, number)
        return self._window(part, on, quantity, None, level, weeks, self._shortage(part, on))

    def _part(self, family: str, number: str) -> Part:
        place = self.learned.place_of_family[family]
        known = self.learned.place_of_part.get((place, number))
        return Part(place, number) if known is None else self.learned.parts[known]

    def _window(
        self,
        part: Part,
        placed: date,
        quantity: float | None,
        promised: date | None,
        level: float | None,
        weeks: Weeks | None,
        shortage: Shortage | None,
        slipped: bool = False,
    ) -> Window:
        start = max(placed, shortage.until) if shortage else placed
        declared = self.learned.families[part.family]
        if weeks:
            declared = Declared(declared.code, *weeks)
        days = self._working_days(declared, start)
        span, basis = self._span(
            part, declared, days, start, quantity, promised, level or self.level
        )
        basis.shortage, basis.for_this = shortage, weeks is not None
        if promised and slipped:
            # Who has just said that it takes longer hardly ships before that day.
            sooner = self.calendar.workdays_between(start, promised) - span.likely
            span = span.later(max(sooner, 0))
        earliest, likely, latest = (
            self.calendar.add_workdays(start, n) for n in (span.earliest, span.likely, span.latest)
        )
        basis.shut = self._shut_between(start, latest)
        # Of a promise that is over, its own lateness is the reason.
        if promised and promised >= self.as_of and basis.promise_days is not None and not shortage:
            said = self.calendar.workdays_between(start, promised) + basis.promise_days
            basis.leans = self.calendar.workdays_between(start, likely) - said
        return Window(earliest, likely, latest, basis.words())

    def published(self, part: Part | None, family: str) -> tuple[Span, Basis]:
        """Working days for an order of today, for the list of windows; None: the family as such."""
        part = part or Part(self.learned.place_of_family[family], "")
        declared = self.learned.families[part.family]
        shortage = self._shortage(part, self.as_of)
        start = shortage.until if shortage else self.as_of
        days = self._working_days(declared, start)
        span, basis = self._span(part, declared, days, start, None, None, self.level)
        basis.shortage = shortage
        return span.later(self.calendar.workdays_between(self.as_of, start)), basis

    def _span(
        self,
        part: Part,
        declared: Declared,
        days: tuple[int, int],
        start: date,
        quantity: float | None,
        promised: date | None,
        level: float,
    ) -> tuple[Span, Basis]:
        """`days`: the working days that the declared weeks are."""
        low, high = days
        asked = self._asked(part, declared, start, quantity)
        outlook = self.learned.outlook
        middle, spread = outlook.fits.forecast(asked)
        gone = self._rank_gone - int(asked.rank[0])
        waited = gone if self.as_of > start and gone >= 0 else None
        said = None
        if promised is not None:
            said = float(self.calendar.workdays_between(start, promised))
        span = outlook.span(
            tuple(asked.groups[:, 0].tolist()), low, high, float(middle[0]), float(spread[0]),
            level, waited, said,
        )  # fmt: skip
        return span, Basis.of(self, part, declared, promised, waited)

    def _asked(
        self, part: Part, declared: Declared, placed: date, quantity: float | None
    ) -> Orders:
        place = self.learned.place_of_part.get((part.family, part.number))
        codes = (part.family, -1, -1, -1) if place is None else self.learned.codes[:, place]
        # From the working day on which it begins: of two orders that begin together none ends first.
        day = self.calendar.rolled(np.array([placed], dtype="datetime64[D]"))
        return Orders(
            placed=day.astype(int),
            rank=self.calendar.rank(day),
            shipped=np.array([np.iinfo(np.int64).max]),
            lead=np.array([np.nan]),
            middle=np.array([declared.middle]),
            quantity=np.array([quantity or self.learned.usual_quantity], dtype=float),
            promised=np.array([np.nan]),
            groups=np.array(codes).reshape(4, 1),
            heard=np.array([STILL_HEARD]),
        )

    def _working_days(self, declared: Declared, placed: date) -> tuple[int, int]:
        low, high = (
            self.calendar.workdays_in_weeks(placed, weeks)
            for weeks in (declared.weeks_min, declared.weeks_max)
        )
        return low, max(high, low)

    def _shortage(self, part: Part, placed: date) -> Shortage | None:
        code = self.learned.families[part.family].code
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
