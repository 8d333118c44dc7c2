"""Working days of one factory: its weekend, its country's public holidays, its shutdowns.

The one counting rule of the product, as in `numpy.busday_offset(roll="forward")`: a day off counts
as the next working day, and n working days later is the n-th working day after it. An order of
Saturday plus one day is therefore Tuesday, and of a Saturday plus none Monday. Holidays are the
observed ones of the `holidays` package; years are listed well past both ends, because a holiday
may be observed in the year before its own (1 January 2028 on 31 December 2027).
"""

from __future__ import annotations

import warnings
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property, lru_cache
from typing import Literal, TypeAlias

import holidays
import numpy as np

Days: TypeAlias = np.ndarray | np.datetime64  # of datetime64[D]
Span = tuple[date, date]
Roll = Literal["forward", "backward"]

FIRST_YEAR, LAST_YEAR = 1995, 2060
SATURDAY_SUNDAY = (5, 6)


class CalendarError(ValueError):
    """A country or region without a calendar, or a week without a working day; says which."""


@lru_cache(maxsize=64)
def public_holidays(country: str, region: str = "") -> dict[date, str]:
    """Observed public holidays by date, `country` an ISO 3166 code, `region` its subdivision's.

    No country has none. Raises CalendarError for one that is not known.
    """
    if not country:
        return {}
    try:
        with warnings.catch_warnings():
            # The package knows India's feasts by the moon from 2001 to 2035 alone, and says so of each year beside.
            warnings.filterwarnings("ignore", "Requested Holidays are available only")
            found = holidays.country_holidays(
                country, subdiv=region or None, years=range(FIRST_YEAR, LAST_YEAR + 1)
            )
    except NotImplementedError as problem:
        place = f"{country}-{region}" if region else country
        raise CalendarError(
            f"No calendar of public holidays for {place!r}: give the two-letter country, and its "
            "state or region by its usual short code or not at all."
        ) from problem
    return dict(sorted(found.items()))


@dataclass(frozen=True)
class Calendar:
    """Working days. `shutdowns` are (first, last) days off; `worked` are holidays worked all the same."""

    country: str = "US"
    region: str = ""
    shutdowns: tuple[Span, ...] = ()
    weekend: tuple[int, ...] = SATURDAY_SUNDAY
    worked: frozenset[date] = frozenset()
    _busdays: np.busdaycalendar = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if len(set(self.weekend)) > 6:
            raise CalendarError("A week needs at least one working day.")
        off = [day for day in public_holidays(self.country, self.region) if day not in self.worked]
        for first, last in self.shutdowns:
            off += [first + timedelta(days=n) for n in range((last - first).days + 1)]
        mask = [day not in self.weekend for day in range(7)]
        calendar = np.busdaycalendar(weekmask=mask, holidays=np.array(off, dtype="datetime64[D]"))
        object.__setattr__(self, "_busdays", calendar)

    def add_workdays(self, day: date, count: int, roll: Roll = "forward") -> date:
        """The `count`-th working day after `day`; count 0 gives `day` or what it rolls to."""
        return np.busday_offset(day, count, roll=roll, busdaycal=self._busdays).astype(date)

    def workdays_between(self, first: date, last: date) -> int:
        """The count that `add_workdays` needs to come from `first` to `last` (both rolled forward)."""
        return int(self.between(np.datetime64(first), np.datetime64(last)))

    def why_shut(self, day: date) -> str:
        """ "weekend", the public holiday's name or "shutdown"; empty on a working day."""
        if np.is_busday(np.datetime64(day), busdaycal=self._busdays):
            return ""
        if day.weekday() in self.weekend:
            return "weekend"
        holiday = public_holidays(self.country, self.region).get(day)
        return holiday if holiday and day not in self.worked else "shutdown"

    def add(self, days: Days, counts: np.ndarray, roll: Roll = "forward") -> Days:
        """`add_workdays` for arrays of datetime64[D] and integers (broadcast)."""
        return np.busday_offset(days, counts, roll=roll, busdaycal=self._busdays)

    def rolled(self, days: Days, roll: Roll = "forward") -> Days:
        return np.busday_offset(days, 0, roll=roll, busdaycal=self._busdays)

    def workdays_in(self, days: np.ndarray) -> np.ndarray:
        """Those of `days` (any order) that are working days."""
        return days[np.is_busday(days, busdaycal=self._busdays)]

    def between(self, first: Days, last: Days) -> np.ndarray:
        """`workdays_between` for arrays of datetime64[D] (broadcast); whole numbers, negative backwards."""
        first, last = self.rolled(first), self.rolled(last)
        return np.busday_count(first, last, busdaycal=self._busdays)

    def rank(self, days: Days) -> np.ndarray:
        """The running number of each day's (rolled) working day; differences are working days."""
        return self.between(np.datetime64(f"{FIRST_YEAR}-01-01"), days)

    def rank_gone(self, day: int) -> int:
        """The rank of the last working day over by the end of `day` (days since 1970)."""
        return int(self.rank(self.rolled(np.datetime64(day, "D"), "backward")))

    def workdays_in_weeks(self, day: date, weeks: int) -> int:
        """How many working days from `day` so many weeks are that a factory says it takes.

        They are weeks of the calendar, as whoever hears them counts: a public holiday in them makes nothing later.
        Days on which the factory is shut come on top, and first for what begins in them.
        """
        usual = self._without_shutdowns
        begins = self.add_workdays(day, 0)
        if begins != usual.add_workdays(day, 0):
            day = begins
        return usual.workdays_between(day, day + timedelta(weeks=weeks))

    @cached_property
    def _without_shutdowns(self) -> Calendar:
        return Calendar(self.country, self.region, (), self.weekend, self.worked)


@lru_cache(maxsize=64)
def calendar_of(
    country: str,
    region: str = "",
    shutdowns: tuple[Span, ...] = (),
    weekend: tuple[int, ...] = SATURDAY_SUNDAY,
    worked: frozenset[date] = frozenset(),
) -> Calendar:
    """That calendar, kept; of a country or region that is not known one with weekends and no holidays."""
    try:
        return Calendar(country, region, shutdowns, weekend, worked)
    except CalendarError:
        return Calendar("", "", shutdowns, weekend)


def spans(days: Iterable[date]) -> tuple[Span, ...]:
    """Days gathered into (first, last) runs of neighbours."""
    runs: list[list[date]] = []
    for day in sorted(set(days)):
        if runs and day - runs[-1][1] == timedelta(days=1):
            runs[-1][1] = day
        else:
            runs.append([day, day])
    return tuple((first, last) for first, last in runs)
