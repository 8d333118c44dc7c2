"""The survival estimators against published data sets and values.

Published: Freireich et al. 1963 (Blood 21:699-716) weeks in remission, with the survival and Greenwood
columns that R's survfit prints for the 6-MP arm; the Boston University BS704 module's two sets as
bundled in scipy's own tests; 0.7146325, a left-truncated case of the NPBayes package's documentation.
Computed, no published table found: the Susarla-Van Ryzin values of Kaplan and Meier's eight
observations and of 6-MP. They were computed apart from this code (exact Dirichlet moments, and
2,000,000 sampled posteriors for strength 8).
"""

import numpy as np
import pytest
import scipy

from ordering.estimator.survival import (
    Observed,
    kaplan_meier,
    standard_deviation,
    susarla_van_ryzin,
)

SIX_MP = Observed.of(
    np.array([6, 6, 6, 7, 10, 13, 16, 22, 23, 6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35.0]),
    np.arange(21) < 9,
)
PLACEBO = Observed.of(
    np.array([1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23.0]),
    np.ones(21, bool),
)
EIGHT = Observed.of(
    np.array([0.8, 1.0, 2.7, 3.1, 5.4, 7.0, 9.2, 12.1]),
    np.array([1, 0, 0, 1, 1, 0, 1, 0], bool),
)


def falling(rate):
    return lambda t: np.exp(-rate * np.asarray(t))


@pytest.mark.parametrize(
    ("at", "survival"),
    [
        (6, 0.857),
        (7, 0.807),
        (10, 0.753),
        (13, 0.690),
        (16, 0.627),
        (22, 0.538),
        (23, 0.448),
        (34, 0.448),
    ],
)
def test_six_mp_as_survfit_prints_it(at, survival):
    """Kaplan-Meier of the 6-MP arm is what R's survfit prints; flat after the last relapse."""
    assert kaplan_meier(SIX_MP, [at])[0] == pytest.approx(survival, abs=6e-4)


@pytest.mark.parametrize(
    ("at", "survival"),
    [(1, 19 / 21), (5, 12 / 21), (8, 8 / 21), (10, 8 / 21), (22, 1 / 21), (23, 0)],
)
def test_placebo(at, survival):
    """Without censoring Kaplan-Meier is the share still in remission (lecture notes print 8/21 at 10)."""
    assert kaplan_meier(PLACEBO, [at])[0] == pytest.approx(survival)


@pytest.mark.parametrize(
    ("events", "lost", "expected"),
    [
        (
            [8, 12, 26, 14, 21, 27], [8, 32, 20, 40],
            {8: 0.9, 12: 0.788, 14: 0.675, 20: 0.675, 21: 0.54, 26: 0.405, 27: 0.27, 32: 0.27, 40: 0.27},
        ),
        (
            [33, 28, 41], [48, 48, 25, 37, 48, 25, 43],
            {25: 1, 28: 0.875, 33: 0.75, 37: 0.75, 41: 0.6, 43: 0.6, 48: 0.6},
        ),
        (
            [47, 56, 77, 80, 81], [37, 43, 60, 62, 71],
            {37: 1, 43: 1, 47: 0.875, 56: 0.75, 60: 0.75, 62: 0.75, 71: 0.75, 77: 0.5, 80: 0.25, 81: 0},
        ),
    ],
)  # fmt: skip
def test_sets_of_course_and_textbook(events, lost, expected):
    """The BS704 sets and the textbook set of scipy's tests, after each distinct time."""
    seen = Observed.of(np.array(events + lost, float), np.arange(len(events + lost)) < len(events))
    found = kaplan_meier(seen, list(expected))
    assert found == pytest.approx(list(expected.values()), abs=6e-4)


@pytest.mark.parametrize("seen", [SIX_MP, PLACEBO, EIGHT])
def test_kaplan_meier_is_scipys(seen):
    """Kaplan-Meier is scipy.stats.ecdf's at every distinct time."""
    data = scipy.stats.CensoredData(
        uncensored=seen.times[seen.event], right=seen.times[~seen.event]
    )
    theirs = scipy.stats.ecdf(data).sf
    assert kaplan_meier(seen, theirs.quantiles) == pytest.approx(theirs.probabilities)


@pytest.mark.parametrize(
    ("at", "b1", "b4", "b8", "b16"),
    [
        (0.8, 0.8787, 0.8862, 0.8917, 0.8973),
        (1.0, 0.8763, 0.8790, 0.8810, 0.8829),
        (2.7, 0.8555, 0.8187, 0.7929, 0.7684),
        (3.1, 0.7010, 0.7009, 0.6994, 0.6969),
        (5.4, 0.5266, 0.5282, 0.5281, 0.5272),
        (7.0, 0.5130, 0.4903, 0.4744, 0.4594),
        (9.2, 0.2809, 0.3060, 0.3177, 0.3252),
        (12.1, 0.2603, 0.2547, 0.2499, 0.2448),
        (15.0, 0.1838, 0.1799, 0.1765, 0.1728),
    ],
)
def test_the_eight_observations(at, b1, b4, b8, b16):
    """Susarla-Van Ryzin on Kaplan and Meier's eight, prior exp(-0.12 t), four strengths (computed)."""
    found = [susarla_van_ryzin(EIGHT, falling(0.12), b, [at])[0] for b in (1, 4, 8, 16)]
    assert found == pytest.approx([b1, b4, b8, b16], abs=6e-5)


def test_the_left_hand_limits_of_the_eight():
    """Just before an event the curve is where the loss before it and the prior have brought it (computed)."""
    before = np.nextafter([0.8, 3.1, 5.4, 9.2], 0)
    found = susarla_van_ryzin(EIGHT, falling(0.12), 8, before)
    assert found == pytest.approx([0.9542, 0.7729, 0.6017, 0.4047], abs=6e-5)


def test_standard_deviations_of_the_eight():
    """Posterior standard deviations at strength 8 (computed; sampled posteriors agree)."""
    found = standard_deviation(EIGHT, falling(0.12), 8, [0.8, 3.1, 5.4, 9.2])
    assert found == pytest.approx([0.0754, 0.1158, 0.1284, 0.1254], abs=6e-5)


def test_the_documented_inputs_of_five_spells():
    """Ends 1, 5, 9 and losses 4, 7, strength 12, rate 0.2, at 3.2 (NPBayes' inputs, value computed)."""
    seen = Observed.of(np.array([1, 5, 9, 4, 7.0]), np.array([1, 1, 1, 0, 0], bool))
    assert susarla_van_ryzin(seen, falling(0.2), 12, [3.2])[0] == pytest.approx(
        0.60750053, abs=1e-8
    )


def test_the_published_left_truncated_value():
    """The one published decimal, 0.7146325: spells watched only from 0.2, 4 and 10 on."""
    seen = Observed.of(
        np.array([9.0, 13.0, 15.0]),
        np.array([True, False, False]),
        entry=np.array([0.2, 4.0, 10.0]),
    )
    found = susarla_van_ryzin(seen, falling(0.12), 8, [3.2])[0]
    assert found == pytest.approx(0.7146325, abs=5e-8)


@pytest.mark.parametrize(
    ("at", "value"),
    [
        (6, 0.7978),
        (7, 0.7469),
        (10, 0.6776),
        (13, 0.6059),
        (16, 0.5395),
        (22, 0.4453),
        (23, 0.3738),
        (30, 0.3542),
    ],
)
def test_six_mp_with_a_prior(at, value):
    """Susarla-Van Ryzin on 6-MP, prior exp(-0.1 t) worth five patients (computed)."""
    assert susarla_van_ryzin(SIX_MP, falling(0.1), 5, [at])[0] == pytest.approx(value, abs=6e-5)


@pytest.mark.parametrize("seen", [SIX_MP, PLACEBO, EIGHT])
def test_a_weak_prior_gives_kaplan_meier(seen):
    """As the strength falls to nothing the estimate becomes Kaplan-Meier, up to the last observation."""
    at = np.unique(seen.times)[:-1]
    assert susarla_van_ryzin(seen, falling(0.1), 1e-9, at) == pytest.approx(
        kaplan_meier(seen, at), abs=1e-6
    )


@pytest.mark.parametrize("seen", [SIX_MP, PLACEBO, EIGHT])
def test_a_strong_prior_stays(seen):
    """As the strength grows without bound the data move nothing."""
    at = np.unique(seen.times)
    assert susarla_van_ryzin(seen, falling(0.1), 1e9, at) == pytest.approx(
        falling(0.1)(at), abs=1e-6
    )
