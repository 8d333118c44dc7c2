from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.workdays import Calendar, CalendarError, spans
from tests.workdays import is_workday

DAYS = st.dates(date(2020, 1, 1), date(2040, 12, 31))
OHIO = Calendar("US", "OH")
# Two weeks, and a Wednesday alone: the day after the last is worked again.
SHUT = Calendar(
    "US",
    "",
    shutdowns=(
        (date(2026, 7, 6), date(2026, 7, 17)),
        (date(2026, 9, 2), date(2026, 9, 2)),
    ),
)


@pytest.mark.parametrize(
    ("start", "count", "end"),
    [
        (date(2026, 7, 2), 1, date(2026, 7, 20)),
        (date(2026, 7, 8), 0, date(2026, 7, 20)),
        (date(2026, 7, 17), 1, date(2026, 7, 21)),
        (date(2026, 9, 1), 1, date(2026, 9, 3)),
    ],
)
def test_a_shutdown_is_stepped_over(start, count, end):
    """Days of a shutdown are no working days, and a day inside it counts as the day after it."""
    assert SHUT.add_workdays(start, count) == end


def test_a_saturday_order_counts_from_monday():
    """An order of a Saturday plus one working day is Tuesday; rolled backward it is Monday."""
    calendar = Calendar("US")
    assert calendar.add_workdays(date(2026, 8, 1), 1) == date(2026, 8, 4)
    assert calendar.add_workdays(date(2026, 8, 1), 1, roll="backward") == date(2026, 8, 3)


def test_another_weekend():
    """A factory that rests on Friday and Saturday works on Sunday."""
    calendar = Calendar("US", weekend=(4, 5))
    assert is_workday(calendar, date(2026, 8, 2))
    assert not is_workday(calendar, date(2026, 7, 31))


def test_a_worked_holiday_is_a_working_day():
    """A holiday named as worked is counted like any other day."""
    veterans = date(2026, 11, 11)
    assert not is_workday(Calendar("US"), veterans)
    assert is_workday(Calendar("US", worked=frozenset([veterans])), veterans)


@given(DAYS, st.integers(0, 400))
def test_between_undoes_add(day, count):
    """Counting back from the n-th working day after a day gives n."""
    assert OHIO.workdays_between(day, OHIO.add_workdays(day, count)) == count


@given(DAYS, st.integers(0, 200), st.integers(0, 200))
def test_adding_twice_is_adding_the_sum(day, first, second):
    """Adding m and then n working days is adding m + n."""
    once = SHUT.add_workdays(SHUT.add_workdays(day, first), second)
    assert once == SHUT.add_workdays(day, first + second)


@given(st.lists(DAYS, min_size=1, max_size=30), st.integers(0, 60))
def test_arrays_say_the_same_as_single_days(days, count):
    """The array forms give what the single forms give."""
    array = np.array(days, dtype="datetime64[D]")
    ends = OHIO.add(array, count)
    assert ends.tolist() == [OHIO.add_workdays(day, count) for day in days]
    assert set(OHIO.between(array, ends).tolist()) == {count}


@pytest.mark.parametrize(("country", "region"), [("XX", ""), ("US", "ZZ")])
def test_an_unknown_place_is_named(country, region):
    """A country or region without a calendar is refused by name."""
    with pytest.raises(CalendarError, match=region or country):
        Calendar(country, region)


def test_a_week_without_a_working_day_is_refused():
    """Seven days off a week leave nothing to count."""
    with pytest.raises(CalendarError):
        Calendar("US", weekend=tuple(range(7)))


def test_neighbouring_days_make_one_run():
    """Days are gathered into runs of neighbours, whatever their order."""
    days = [date(2026, 7, 3), date(2026, 7, 1), date(2026, 7, 2), date(2026, 7, 9)]
    assert spans(days) == (
        (date(2026, 7, 1), date(2026, 7, 3)),
        (date(2026, 7, 9), date(2026, 7, 9)),
    )


def test_no_country_has_weekends_alone():
    """Where the country is not known every day of the week from Monday to Friday counts."""
    assert Calendar(country="").add_workdays(date(2026, 7, 2), 2) == date(2026, 7, 6)
