import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ordering.estimator.survival import (
    Curve,
    Observed,
    kaplan_meier,
    standard_deviation,
    susarla_van_ryzin,
)

AT = np.linspace(0.0, 60.0, 121)


def prior(t):
    return np.exp(-0.05 * t)


@st.composite
def spells(draw):
    size = draw(st.integers(1, 25))
    times = draw(st.lists(st.integers(1, 40), min_size=size, max_size=size))
    event = draw(st.lists(st.booleans(), min_size=size, max_size=size))
    return Observed.of(np.array(times, float), np.array(event))


def test_no_observation_gives_the_prior():
    """Without an observation the estimate is the prior itself."""
    none = Observed.of(np.zeros(0), np.zeros(0, bool))
    assert susarla_van_ryzin(none, prior, 5.0, AT) == pytest.approx(prior(AT))


@given(spells())
def test_the_estimate_is_a_survival_curve(seen):
    """The estimate starts at 1, never rises and stays within 0 and 1."""
    estimate = susarla_van_ryzin(seen, prior, 3.0, AT)
    assert estimate[0] == pytest.approx(1.0)
    assert np.all(np.diff(estimate) <= 1e-12)
    assert estimate[-1] >= 0.0


@given(spells())
def test_without_censoring_it_is_the_plain_mixture(seen):
    """Without a censored value it is (strength x prior + count beyond) / (strength + count)."""
    whole = Observed.of(seen.times, np.ones(seen.times.size, bool))
    beyond = (whole.times[None, :] > AT[:, None]).sum(axis=1)
    mixture = (4.0 * prior(AT) + beyond) / (4.0 + whole.size)
    assert susarla_van_ryzin(whole, prior, 4.0, AT) == pytest.approx(mixture)


@given(spells())
def test_a_weight_of_two_is_the_same_spell_twice(seen):
    """An observation of weight 2 counts like two of weight 1."""
    twice = Observed.of(np.tile(seen.times, 2), np.tile(seen.event, 2))
    heavy = Observed.of(seen.times, seen.event, np.full(seen.times.size, 2.0))
    for estimate in (
        lambda o: susarla_van_ryzin(o, prior, 3.0, AT),
        lambda o: standard_deviation(o, prior, 3.0, AT),
        lambda o: kaplan_meier(o, AT),
    ):
        assert estimate(heavy) == pytest.approx(estimate(twice))


@given(spells(), st.randoms())
def test_the_order_of_observations_does_not_matter(seen, shuffle):
    """Shuffled observations give the same curve."""
    rows = list(range(seen.times.size))
    shuffle.shuffle(rows)
    shuffled = Observed.of(seen.times[rows], seen.event[rows])
    assert susarla_van_ryzin(shuffled, prior, 3.0, AT) == pytest.approx(
        susarla_van_ryzin(seen, prior, 3.0, AT)
    )


def test_an_event_tied_with_a_loss_is_not_in_the_factor():
    """At a tie the loss's factor counts what lies beyond: neither the event nor the loss itself."""
    seen = Observed.of(np.array([5.0, 5.0, 9.0]), np.array([True, False, True]))
    base = 2.0 * prior(5.0) + 1
    expected = base / 5.0 * (base + 1) / base
    assert susarla_van_ryzin(seen, prior, 2.0, np.array([5.0])) == pytest.approx([expected])


def test_a_chain_of_no_data_leaves_the_curve():
    """A link of the chain without orders is its prior."""
    curve = Curve.on(AT, prior(AT))
    none = Observed.of(np.zeros(0), np.zeros(0, bool))
    assert curve.updated(none, 10.0) is curve


def test_a_stronger_prior_moves_less():
    """The stronger the prior of a link, the nearer its posterior stays to it."""
    curve = Curve.on(AT, prior(AT))
    seen = Observed.of(np.full(10, 30.0), np.ones(10, bool))
    moved = [
        np.abs(curve.updated(seen, strength).survival - curve.survival).max()
        for strength in (1.0, 10.0, 100.0)
    ]
    assert moved[0] > moved[1] > moved[2] > 0


def test_days_gone_condition_the_curve():
    """Given T > 10 the curve is 1 until 10 and S(t)/S(10) after it."""
    curve = Curve.on(AT, prior(AT))
    given_10 = curve.given_beyond(10.0)
    assert given_10(np.array([5.0, 10.0])) == pytest.approx([1.0, 1.0])
    assert given_10(np.array([20.0])) == pytest.approx(
        curve(np.array([20.0])) / curve(np.array([10.0]))
    )


@pytest.mark.parametrize(
    "bad",
    [
        lambda: Observed.of(np.ones(3), np.ones(2, bool)),
        lambda: Observed.of(np.array([np.nan]), np.ones(1, bool)),
        lambda: Observed.of(np.ones(1), np.ones(1, bool), np.array([-1.0])),
    ],
)
def test_observations_that_are_none_are_refused(bad):
    """Lengths that differ, a time that is no number, a negative weight are refused."""
    with pytest.raises(ValueError):
        bad()
