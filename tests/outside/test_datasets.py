"""The estimator on lifelines' bundled survival data: against its Kaplan-Meier, and with hidden tails.

None of these is a factory's past; they check the mathematics and the calibration, not the numbers.
"""

import numpy as np
import pytest

from ordering.estimator.survival import Curve, Observed, kaplan_meier, susarla_van_ryzin

SETS = {
    "leukemia": ("load_leukemia", "t", "status"),
    "waltons": ("load_waltons", "T", "E"),
    "rossi": ("load_rossi", "week", "arrest"),
    "lung": ("load_lung", "time", "status"),
    "larynx": ("load_larynx", "time", "death"),
    "kidney transplant": ("load_kidney_transplant", "time", "death"),
    "gbsg2": ("load_gbsg2", "time", "cens"),
    "government spells": ("load_dd", "duration", "observed"),
}
NAMES = pytest.mark.parametrize("name", SETS)


def spells(name):
    # Here, as it takes seconds that only whoever runs these tests should wait for.
    from lifelines import datasets

    load, time, event = SETS[name]
    data = getattr(datasets, load)()
    return data[time].to_numpy(float), data[event].to_numpy(bool)


@NAMES
def test_kaplan_meier_is_lifelines(name):
    """Kaplan-Meier agrees with lifelines at every time, and the estimate of a weak prior with both."""
    from lifelines import KaplanMeierFitter

    times, event = spells(name)
    seen, at = Observed.of(times, event), np.unique(times)
    theirs = KaplanMeierFitter().fit(times, event).survival_function_at_times(at).to_numpy()
    assert kaplan_meier(seen, at) == pytest.approx(theirs)
    weak = susarla_van_ryzin(seen, lambda t: np.exp(-t / times.mean()), 1e-7, at[:-1])
    assert weak == pytest.approx(theirs[:-1], abs=1e-5)


@NAMES
def test_a_hidden_tail_changes_nothing_before_it(name):
    """With all after the median time hidden, the curve up to there is what it was."""
    times, event = spells(name)
    hidden_at = np.median(times)
    seen = Observed.of(np.minimum(times, hidden_at), event & (times <= hidden_at))
    at = np.linspace(0, hidden_at, 50)[:-1]
    prior = lambda t: np.exp(-t / times.mean())  # noqa: E731
    assert susarla_van_ryzin(seen, prior, 5.0, at) == pytest.approx(
        susarla_van_ryzin(Observed.of(times, event), prior, 5.0, at)
    )


@NAMES
def test_after_the_hidden_tail_the_prior_leads(name):
    """Where nothing was watched the curve falls as the prior does: its conditional is the prior's."""
    times, event = spells(name)
    hidden_at = float(np.median(times))
    seen = Observed.of(np.minimum(times, hidden_at), event & (times <= hidden_at))
    prior = lambda t: np.exp(-np.asarray(t) / times.mean())  # noqa: E731
    late = np.array([hidden_at, hidden_at * 1.2, hidden_at * 1.5])
    found = susarla_van_ryzin(seen, prior, 5.0, late)
    assert found / found[0] == pytest.approx(prior(late) / prior(late[0]))


@NAMES
def test_windows_learned_on_one_half_hold_on_the_other(name):
    """80 % windows from half of the spells, days gone included, hold in the other half within chance.

    The held-out share is Kaplan-Meier's, since some of its spells are censored too.
    """
    times, event = spells(name)
    # Whole weeks and years tie; a whole number stands for anything within half of it.
    times = np.maximum(times + (np.arange(times.size) * 0.618034) % 1 - 0.5, 0.01)
    half = np.random.default_rng(3).permutation(times.size)
    learn, test = half[: times.size // 2], half[times.size // 2 :]
    grid = np.linspace(0, times.max() * 3, 4000)
    curve = Curve.on(grid, np.exp(-grid / times.mean())).updated(
        Observed.of(times[learn], event[learn]), 4.0
    )
    for gone in (0.0, float(np.quantile(times, 0.25))):
        late = test[times[test] > gone]
        seen = Observed.of(times[late], event[late])
        # Beyond this so few are still watched that the held-out share itself means nothing.
        followed = np.quantile(times[late], 0.85)
        first, last = np.minimum(curve.given_beyond(gone).quantile(np.array([0.1, 0.9])), followed)
        promised = curve.given_beyond(gone)(np.array([first, last]))
        before, after = kaplan_meier(seen, np.array([first, last]))
        margin = 3.5 * np.sqrt(0.25 * (1 / late.size + 1 / learn.size))
        assert before - after == pytest.approx(promised[0] - promised[1], abs=margin)
