from datetime import date

import numpy as np
import pytest

from ordering.estimator.forecast import best_walk
from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.estimator.learned import Declared, Part, Past, columns, group_codes, learn
from sizing.workdays import Calendar

AS_OF = date(2026, 3, 2)
NEVER = np.datetime64("NaT", "D")


ROVE, PARTS = [Declared("ROVE", 4, 8)], [Part(0, "RV-1")]


def jumping(seed: int, jump: int, ago: int, noise: float = 3.0) -> Past:
    """An order a day for 600 days, 28 days each, and `jump` days more for the last `ago` days' orders."""
    rng = np.random.default_rng(seed)
    age = np.arange(600)[::-1]
    days = np.rint(rng.normal(28, noise, age.size) + jump * (age < ago)).astype(int)
    ordered = np.datetime64(AS_OF) - age
    shipped = np.busday_offset(ordered + days, 0, roll="forward")
    return Past(
        ordered, shipped, np.full(age.size, NEVER), np.ones(age.size, int), np.zeros(age.size, int)
    )


def desk(past: Past) -> FactoryLeadTimes:
    return FactoryLeadTimes(learn(ROVE, PARTS, past, AS_OF))


def breaks(past: Past) -> tuple[int, ...]:
    return desk(past).learned.outlook.fits.now.model.breaks


def days_of(window) -> tuple[int, int]:
    return (window.earliest - AS_OF).days, (window.latest - AS_OF).days


@pytest.mark.parametrize("jump", [14, -10])
def test_a_change_long_past_leaves_no_wide_window(jump):
    """130 days after a change for good the window is about as narrow as had it always been so."""
    first, last = days_of(desk(jumping(3, jump, 130)).of_part("ROVE", "RV-1", AS_OF))
    assert first <= 28 + jump <= last
    assert last - first <= 14


def test_a_change_is_dated():
    """The first day of a sudden change is found within ten days."""
    (start,) = breaks(jumping(4, 14, 130))
    ago = (np.datetime64(AS_OF) - np.datetime64(start, "D")).astype(int)
    assert abs(ago - 129) <= 10


@pytest.mark.parametrize("seed", range(5))
def test_a_steady_factory_has_no_change(seed):
    """Noise alone is never taken for a sudden change."""
    assert breaks(jumping(seed, 0, 0, noise=6.0)) == ()


def test_a_slowdown_shows_before_the_late_orders_have_shipped():
    """Orders overdue since a slowdown move the window though none of them has shipped."""
    past = jumping(5, 20, 40)
    late = past.ordered > np.datetime64(AS_OF) - 40
    assert np.isnat(past.as_of(AS_OF).shipped[late]).all()
    assert days_of(desk(past).of_part("ROVE", "RV-1", AS_OF))[1] >= 44


def test_forecasts_made_before_a_change_was_known_are_left_out():
    """Once enough orders have shipped since a change, no forecast that straddles it is in the record."""
    calendar = Calendar()
    orders = columns(jumping(6, 14, 130).as_of(AS_OF), ROVE, group_codes(PARTS), calendar)
    walk = best_walk(orders, int(np.datetime64(AS_OF).astype(int)), calendar.rank_gone, 180.0)
    record = walk.record
    (start,) = walk.fits.now.model.breaks
    made = record.stops[record.block]
    since = record.orders.placed[record.rows] >= start
    assert since.sum() > 30
    assert (made[since] > start + 28).all()
