from datetime import date

import numpy as np
import pytest

from ordering.estimator.closures import learned_calendar
from sizing.workdays import Calendar
from tests.workdays import is_workday

AS_OF = date(2025, 3, 3)


def shipments(calendar: Calendar, share: float = 0.9, first: str = "2022-01-03") -> np.ndarray:
    """Ship dates on most working days of a calendar, from a seed."""
    days = calendar.workdays_in(np.arange(np.datetime64(first), np.datetime64("2025-06-01")))
    return days[np.random.default_rng(5).random(days.size) < share]


def learned(shipped: np.ndarray) -> Calendar:
    return learned_calendar("US", "", (), shipped, AS_OF)


def test_a_factory_never_shut_has_no_shutdowns():
    """Chance alone makes no shutdown."""
    assert learned(shipments(Calendar())).shutdowns == ()


def test_a_yearly_summer_shutdown_is_expected_again():
    """Two weeks without a shipment each July are days off in the past and in the next July."""
    shut = tuple((date(y, 7, 8), date(y, 7, 21)) for y in (2022, 2023, 2024))
    calendar = learned(shipments(Calendar(shutdowns=shut)))
    assert not is_workday(calendar, date(2024, 7, 12))
    assert not is_workday(calendar, date(2025, 7, 11))
    assert is_workday(calendar, date(2025, 8, 11))


def test_a_shutdown_at_the_turn_of_the_year_keeps_its_dates():
    """Days off between the years come back on the same dates, not in the same week."""
    shut = tuple((date(y, 12, 24), date(y, 12, 31)) for y in (2022, 2023, 2024))
    calendar = learned(shipments(Calendar(shutdowns=shut)))
    assert not any(is_workday(calendar, date(2025, 12, d)) for d in (26, 29, 30, 31))


def test_a_pause_not_repeated_is_not_expected():
    """Weeks off in one year in which a later year has shipped are not expected again."""
    calendar = learned(shipments(Calendar(shutdowns=((date(2022, 9, 5), date(2022, 9, 16)),))))
    assert not is_workday(calendar, date(2022, 9, 7))
    assert is_workday(calendar, date(2025, 9, 8))


def test_a_pause_that_is_not_over_is_not_judged():
    """The days up to the as-of date without a shipment are no shutdown yet."""
    shipped = shipments(Calendar())
    shipped = shipped[shipped < np.datetime64("2025-02-17")]
    assert is_workday(learned(shipped), date(2025, 2, 25))


def test_worked_weekends_and_holidays_are_learned():
    """A factory that ships every day of the year has no days off."""
    every = np.arange(np.datetime64("2022-01-03"), np.datetime64("2025-03-01"))
    calendar = learned(every)
    assert calendar.weekend == ()
    assert is_workday(calendar, date(2025, 7, 4))


def test_one_worked_holiday_does_not_undo_the_others():
    """Shipping on each Columbus Day makes that day a working day and leaves the other holidays."""
    columbus = frozenset({date(2022, 10, 10), date(2023, 10, 9), date(2024, 10, 14)})
    shipped = np.repeat(shipments(Calendar(worked=columbus), share=1.0), 3)
    calendar = learned(shipped)
    assert is_workday(calendar, date(2025, 10, 13))
    assert not is_workday(calendar, date(2025, 7, 4))


@pytest.mark.parametrize("count", [0, 19])
def test_a_handful_of_shipments_teaches_nothing(count):
    """With fewer than twenty shipments the declared calendar stands."""
    assert learned(shipments(Calendar())[:count]) == Calendar()


def test_the_future_is_not_read():
    """Ship dates after the as-of date change nothing."""
    shipped = shipments(Calendar())
    assert learned(shipped) == learned(shipped[shipped <= np.datetime64(AS_OF)])


def test_a_few_pieces_on_a_holiday_do_not_make_it_worked():
    """Of 24 that three working days ship, five left on 4 July: it stays a day off (the desk's own rule)."""
    days = np.repeat(shipments(Calendar(), share=1.0), 8)
    fourth = np.repeat(["2022-07-04", "2023-07-04", "2024-07-04"], [2, 2, 1])
    calendar = learned(np.sort(np.concatenate([days, fourth.astype("datetime64[D]")])))
    assert not is_workday(calendar, date(2025, 7, 4))
