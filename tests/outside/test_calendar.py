"""Working days against published dates and independent counters.

OPM's observed federal holidays 2026-2028 as quoted by public data files (the OPM page itself was not
opened); the rule is 5 U.S.C. 6103. numpy.busday_offset is the independent counter; ISO 8601 weeks are
those of Python's own date.isocalendar, with the 53-week years the standard gives.
"""

from datetime import date, timedelta

import numpy as np
import pytest

from sizing.workdays import Calendar
from tests.workdays import is_workday

CALENDAR = Calendar("US")
OPM = {
    2026: "01-01 01-19 02-16 05-25 06-19 07-03 09-07 10-12 11-11 11-26 12-25",
    2027: "01-01 01-18 02-15 05-31 06-18 07-05 09-06 10-11 11-11 11-25 12-24 12-31",
    2028: "01-17 02-21 05-29 06-19 07-04 09-04 10-09 11-10 11-23 12-25",
}
HOLIDAYS = [date.fromisoformat(f"{year}-{day}") for year in OPM for day in OPM[year].split()]


def days_of(year: int) -> list[date]:
    first = date(year, 1, 1)
    return [first + timedelta(n) for n in range((date(year + 1, 1, 1) - first).days)]


@pytest.mark.parametrize("year", OPM)
def test_weekdays_off_are_the_federal_holidays(year):
    """The weekdays that are no working days are exactly OPM's observed dates, 31 December 2027 too."""
    off = [d for d in days_of(year) if d.weekday() < 5 and not is_workday(CALENDAR, d)]
    assert off == [d for d in HOLIDAYS if d.year == year]


@pytest.mark.parametrize(("year", "count"), [(2026, 250), (2027, 249), (2028, 250)])
def test_working_days_of_a_year(year, count):
    """A year has as many working days as its weekdays less its observed holidays (computed)."""
    assert sum(is_workday(CALENDAR, day) for day in days_of(year)) == count


@pytest.mark.parametrize(
    ("start", "count", "end"),
    [
        ("2026-06-29", 5, "2026-07-07"),
        ("2026-06-30", 3, "2026-07-06"),
        ("2026-07-02", 1, "2026-07-06"),
        ("2026-07-03", 0, "2026-07-06"),
        ("2026-07-04", 1, "2026-07-07"),
        ("2026-11-25", 1, "2026-11-27"),
        ("2026-12-18", 10, "2027-01-05"),
        ("2026-12-24", 1, "2026-12-28"),
        ("2027-06-17", 1, "2027-06-21"),
        ("2027-07-02", 1, "2027-07-06"),
        ("2027-12-23", 1, "2027-12-27"),
        ("2027-12-30", 1, "2028-01-03"),
        ("2026-03-02", 30, "2026-04-13"),
        ("2026-10-15", 30, "2026-11-30"),
    ],
)
def test_added_days_are_numpys_with_opms_dates(start, count, end):
    """Adding working days gives numpy.busday_offset's day with OPM's dates as its holidays."""
    theirs = np.busday_offset(start, count, roll="forward", holidays=HOLIDAYS)
    assert theirs == np.datetime64(end)
    assert CALENDAR.add_workdays(date.fromisoformat(start), count) == date.fromisoformat(end)


@pytest.mark.parametrize(
    ("day", "iso"),
    [
        ("2024-12-30", (2025, 1, 1)),
        ("2025-12-29", (2026, 1, 1)),
        ("2026-12-31", (2026, 53, 4)),
        ("2027-01-03", (2026, 53, 7)),
        ("2028-01-01", (2027, 52, 6)),
    ],
)
def test_iso_weeks_at_the_turn_of_the_year(day, iso):
    """ISO weeks, by which a learned shutdown comes back, belong to the year of their Thursday."""
    found = date.fromisoformat(day)
    assert tuple(found.isocalendar()) == iso
    assert date.fromisocalendar(*iso) == found


def test_years_of_53_weeks():
    """The years of 53 ISO weeks between 2020 and 2049."""
    long = [year for year in range(2020, 2050) if date(year, 12, 28).isocalendar().week == 53]
    assert long == [2020, 2026, 2032, 2037, 2043, 2048]
