"""What is ordered on a day off is begun on the next working day: its window is that day's, and no later one ends first."""

from datetime import date, timedelta

import numpy as np
import pytest

from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.estimator.learned import Declared, Part, Past, learn
from sizing.workdays import Calendar

AS_OF = date(2025, 9, 28)
# Two weeks in autumn and the turn of the year.
SHUT = ((date(2025, 10, 6), date(2025, 10, 17)), (date(2025, 12, 22), date(2026, 1, 2)))


def factory(orders: int) -> FactoryLeadTimes:
    """Some three years of a factory that takes about 27 working days."""
    law, calendar = np.random.default_rng(0), Calendar("US", "", SHUT)
    ordered = np.sort(np.datetime64("2023-01-02") + law.integers(0, 1000, orders))
    shipped = calendar.add(ordered, np.round(law.gamma(9, 3, orders)).astype(int))
    shipped[shipped > np.datetime64(AS_OF)] = np.datetime64("NaT")
    never = np.full(orders, np.datetime64("NaT"), dtype="datetime64[D]")
    past = Past(ordered, shipped, never, law.integers(1, 5, orders), np.zeros(orders, dtype=int))
    families = [Declared("ROVE", 4, 8)]
    return FactoryLeadTimes(learn(families, [Part(0, "RV-0")], past, AS_OF, shutdowns=SHUT))


def days(desk: FactoryLeadTimes, on: date) -> tuple[date, date, date]:
    window = desk.of_part("ROVE", "RV-0", on)
    return window.earliest, window.likely, window.latest


@pytest.mark.parametrize("orders", [0, 60, 400])
def test_begun_together_ends_together(orders):
    """Weekends without a holiday beside them, and each day of a shutdown."""
    desk = factory(orders)
    for on in (AS_OF + timedelta(n) for n in range(150)):
        monday = on + timedelta(7 - on.weekday())
        alone = on.weekday() > 4 and not desk.calendar.why_shut(monday)
        if alone or desk.calendar.why_shut(on) == "shutdown":
            assert days(desk, on) == days(desk, desk.calendar.add_workdays(on, 0)), on


def test_shut_weeks_come_before_the_declared_ones():
    """Placed on the second day of two shut weeks: four to eight weeks from the Monday after them."""
    monday = date(2025, 10, 20)
    earliest, _, latest = days(factory(0), date(2025, 10, 7))
    assert (earliest, latest) == (monday + timedelta(weeks=4), monday + timedelta(weeks=8))
