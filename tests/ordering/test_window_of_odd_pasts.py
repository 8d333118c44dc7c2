import warnings
from datetime import date, timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.estimator.learned import Declared, Part, Past, learn
from ordering.estimator.window import declared_curve

FIRST = date(2024, 1, 1)
DAY = st.integers(0, 700).map(lambda n: FIRST + timedelta(days=n))
GAP = st.none() | st.sampled_from([0, 1, 5, 30, 40, 400])
ORDER = st.tuples(DAY, GAP, GAP, st.sampled_from([1, 2, 100_000]), st.integers(0, 2))
PARTS = [Part(0, "RV-0", "standard", "ash"), Part(0, "RV-1"), Part(1, "TN-0", "", "chalk")]
WEEKS = st.sampled_from([(0, 0), (1, 1), (4, 8), (10, 30)])


def column(days):
    return np.array([np.datetime64("NaT") if d is None else d for d in days], dtype="datetime64[D]")


def later(order, gap):
    return None if gap is None else order + timedelta(days=gap)


@settings(max_examples=25, deadline=None)
@given(st.lists(ORDER, max_size=12), WEEKS, WEEKS, st.integers(-5, 1200))
def test_any_past_has_an_answer(orders, first_weeks, second_weeks, after):
    """However odd the past, a window is in order and an open order's lies after the as-of date."""
    as_of = FIRST + timedelta(days=after)
    past = Past(
        column([o[0] for o in orders]),
        column([later(o[0], o[1]) for o in orders]),
        column([later(o[0], o[2]) for o in orders]),
        np.array([o[3] for o in orders], dtype=int),
        np.array([o[4] for o in orders], dtype=int),
    )
    families = [Declared("ROVE", *first_weeks), Declared("TARN", *second_weeks)]
    desk = FactoryLeadTimes(learn(families, PARTS, past, as_of))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        before = desk.of_open("ROVE", "RV-0", 1, as_of - timedelta(days=90), as_of)
        ahead = desk.of_part("TARN", "never seen", as_of + timedelta(days=30))
    assert as_of < before.earliest <= before.likely <= before.latest
    assert as_of + timedelta(days=30) <= ahead.earliest <= ahead.likely <= ahead.latest


def test_absurd_forecast_stays_a_number():
    """A past that contradicts itself can forecast any number of days; the curve stays between 0 and 1."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        curve = declared_curve(0, 0, 38.3, 76.55)
    assert np.isfinite(curve(np.linspace(-12, 18, 50))).all()
