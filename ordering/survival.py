"""The Bayes estimate of a survival curve under right censoring (Susarla and Van Ryzin).

Susarla and Van Ryzin 1976, J. Am. Stat. Assoc. 71:897-902: a Dirichlet-process prior with measure
alpha = strength x S0, squared-error loss. With Z the observed times, N+(t) the number of them beyond
t and lambda_j the number censored at the distinct censored value c_j,

    E S(t) = [alpha(t) + N+(t)] / (strength + n)
             x product over c_j <= t of [alpha(c_j) + N+(c_j) + lambda_j] / [alpha(c_j) + N+(c_j)]

No observation gives S0; a strength near 0 gives Kaplan-Meier; no censoring gives the plain mixture.
An event at the same time as a loss is not in the factor. Observations may carry weights (an older
one counts less): counts are then sums of weights. Pure numpy; S(t) is P(T > t), right-continuous.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

Array = np.ndarray
SurvivalFunction = Callable[[Array], Array]


@dataclass(frozen=True)
class Observed:
    """Times with `event` True where the end was seen, False where only "longer than this" is known."""

    times: Array
    event: Array
    weights: Array

    @classmethod
    def of(
        cls,
        times: Array,
        event: Array,
        weights: Array | None = None,
        entry: Array | None = None,
    ) -> Observed:
        """`entry`: from when on each was watched (left truncation); None: all from 0.

        Before its entry a spell is not at risk: as if one more of weight -1 were lost at the entry
        (the Dirichlet process being neutral to the right; Zhou 2004, Statistica Sinica 14:533-546).
        """
        times = np.asarray(times, dtype=float)
        event = np.asarray(event, dtype=bool)
        weights = np.ones(times.size) if weights is None else np.asarray(weights, dtype=float)
        if not times.shape == event.shape == weights.shape or times.ndim != 1:
            raise ValueError("times, event and weights must be flat arrays of one length")
        if np.isnan(times).any() or (weights < 0).any():
            raise ValueError("times must be numbers and weights must not be negative")
        if entry is not None:
            times = np.concatenate((times, np.asarray(entry, dtype=float)))
            event = np.concatenate((event, np.zeros(event.size, dtype=bool)))
            weights = np.concatenate((weights, -weights))
        return cls(times, event, weights)

    @property
    def size(self) -> float:
        """The number of observations, older ones by their weight."""
        return float(self.weights.sum())

    def beyond(self, at: Array) -> Array:
        """N+(t): the weight of the observations strictly later than each t."""
        order = np.argsort(self.times, kind="stable")
        below = np.concatenate(([0.0], np.cumsum(self.weights[order])))
        counted = np.searchsorted(self.times[order], at, side="right")
        return np.maximum(below[-1] - below[counted], 0.0)

    def lost(self) -> tuple[Array, Array]:
        """Distinct censored values, rising, and the weight lost at each."""
        values, where = np.unique(self.times[~self.event], return_inverse=True)
        return values, np.bincount(where, self.weights[~self.event], minlength=values.size)


def _moment(seen: Observed, prior: SurvivalFunction, strength: float, at: Array, k: int) -> Array:
    """The k-th factor of the posterior moments: k = 0 the mean, k = 1 what the second one adds."""
    at = np.asarray(at, dtype=float)
    lost_at, lost = seen.lost()
    base = strength * prior(lost_at) + seen.beyond(lost_at) + k
    with np.errstate(divide="ignore", invalid="ignore"):
        steps = np.cumsum(np.where(lost != 0, np.log1p(lost / base), 0.0))
    product = np.exp(np.concatenate(([0.0], steps)))
    still = strength * prior(at) + seen.beyond(at) + k
    whole = strength + seen.size + k
    if whole == 0:
        raise ValueError("without an observation the prior needs a strength above 0")
    share = still / whole
    # Nothing can be left where prior and data say so, whatever was lost before.
    return np.where(share > 0, share, 0.0) * np.where(
        share > 0, product[np.searchsorted(lost_at, at, side="right")], 0.0
    )


def susarla_van_ryzin(seen: Observed, prior: SurvivalFunction, strength: float, at: Array) -> Array:
    """E S(t | data) at each t of `at`. `prior` is S0, vectorised and continuous; strength > 0."""
    return _moment(seen, prior, strength, at, 0)


def standard_deviation(
    seen: Observed, prior: SurvivalFunction, strength: float, at: Array
) -> Array:
    """The posterior standard deviation of S(t) at each t of `at`."""
    first = _moment(seen, prior, strength, at, 0)
    second = first * _moment(seen, prior, strength, at, 1)
    return np.sqrt(np.maximum(second - first**2, 0.0))


def kaplan_meier(seen: Observed, at: Array) -> Array:
    """The product-limit estimate at each t of `at`; flat after the last observation.

    Kaplan and Meier 1958, J. Am. Stat. Assoc. 53:457-481; at a tie events come before losses.
    """
    values, where = np.unique(seen.times[seen.event], return_inverse=True)
    ended = np.bincount(where, seen.weights[seen.event], minlength=values.size)
    at_risk = seen.beyond(np.nextafter(values, -np.inf))
    left = np.concatenate(([1.0], np.cumprod(1.0 - ended / at_risk)))
    return left[np.searchsorted(values, np.asarray(at, dtype=float), side="right")]


@dataclass(frozen=True)
class Curve:
    """A survival curve kept on a rising grid, straight in between: 1 before it, 0 from its end on."""

    grid: Array
    survival: Array

    def __call__(self, at: Array) -> Array:
        return np.interp(at, self.grid, self.survival, left=1.0, right=0.0)

    @classmethod
    def on(cls, grid: Array, survival: Array) -> Curve:
        """Held to what a curve must be: between 0 and 1, never rising, 0 at the end."""
        survival = np.minimum.accumulate(np.clip(survival, 0.0, 1.0))
        survival[-1] = 0.0
        return cls(grid, survival)

    def updated(self, seen: Observed, strength: float) -> Curve:
        """The posterior with this curve as the prior: one link of a chain of priors."""
        if seen.size == 0:
            return self
        return Curve.on(self.grid, susarla_van_ryzin(seen, self, strength, self.grid))

    def given_beyond(self, elapsed: float) -> Curve:
        """The curve of T given T > elapsed; the curve itself where nothing is left beyond it."""
        left = float(self(np.array(elapsed)))
        if left <= 0.0:
            return self
        return Curve.on(self.grid, np.minimum(self.survival / left, 1.0))

    def quantile(self, share: Array | float) -> Array:
        """Where the share that has ended (0 to 1) is reached."""
        ended = 1.0 - self.survival
        rising = np.concatenate(([True], np.diff(ended) > 0))
        return np.interp(share, ended[rising], self.grid[rising])
