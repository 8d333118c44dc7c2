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
from functools import cached_property

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


@dataclass(frozen=True)
class Counted:
    """Observations counted once at the times `at`: each prior then costs a few sums.

    still     N+ at each of `at`
    lost_at   the distinct censored values, rising; `lost` the weight lost at each, `later` N+ there
    before    how many of them lie at or before each of `at`
    """

    at: Array
    size: float
    still: Array
    lost_at: Array
    lost: Array
    later: Array
    before: Array

    @classmethod
    def of(cls, seen: Observed, at: Array) -> Counted:
        at = np.asarray(at, dtype=float)
        lost_at, lost = seen.lost()
        # Losses that cancel (entered late and lost at one time) change nothing.
        lost_at, lost = lost_at[lost != 0], lost[lost != 0]
        before = np.searchsorted(lost_at, at, side="right")
        return cls(at, seen.size, seen.beyond(at), lost_at, lost, seen.beyond(lost_at), before)

    def moment(self, prior_at: Array, prior_lost: Array, strength: float, k: int = 0) -> Array:
        """The k-th factor of the posterior moments of S(at): k = 0 the mean, k = 1 what the second
        one adds. `prior_at` and `prior_lost` are S0 at `at` and at `lost_at`.
        """
        whole = strength + self.size + k
        if whole == 0:
            raise ValueError("without an observation the prior needs a strength above 0")
        share = (strength * prior_at + self.still + k) / whole
        if not self.lost.size:
            return np.maximum(share, 0.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            steps = np.cumsum(np.log1p(self.lost / (strength * prior_lost + self.later + k)))
        product = np.exp(np.concatenate(([0.0], steps)))[self.before]
        # Nothing can be left where prior and data say so, whatever was lost before.
        return np.where(share > 0, share, 0.0) * np.where(share > 0, product, 0.0)


def susarla_van_ryzin(seen: Observed, prior: SurvivalFunction, strength: float, at: Array) -> Array:
    """E S(t | data) at each t of `at`. `prior` is S0, vectorised and continuous; strength > 0."""
    counted = Counted.of(seen, at)
    return counted.moment(prior(counted.at), prior(counted.lost_at), strength)


def standard_deviation(
    seen: Observed, prior: SurvivalFunction, strength: float, at: Array
) -> Array:
    """The posterior standard deviation of S(t) at each t of `at`."""
    counted = Counted.of(seen, at)
    priors = prior(counted.at), prior(counted.lost_at)
    first = counted.moment(*priors, strength)
    second = first * counted.moment(*priors, strength, k=1)
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
        return self.posterior(Counted.of(seen, self.grid), strength)

    def posterior(self, seen: Counted, strength: float) -> Curve:
        """`updated` by observations that were counted on this curve's grid before."""
        if seen.size == 0:
            return self
        return Curve.on(self.grid, seen.moment(self.survival, self(seen.lost_at), strength))

    def given_beyond(self, elapsed: float) -> Curve:
        """The curve of T given T > elapsed; the curve itself where nothing is left beyond it."""
        left = float(self(np.array(elapsed)))
        if left <= 0.0:
            return self
        return Curve.on(self.grid, np.minimum(self.survival / left, 1.0))

    def quantile(self, share: Array | float) -> Array:
        """Where the share that has ended (0 to 1) is reached."""
        return np.interp(share, *self._rising)

    @cached_property
    def _rising(self) -> tuple[Array, Array]:
        """(ended, grid) where more has ended than at the grid's point before."""
        ended = 1.0 - self.survival
        rising = np.concatenate(([True], np.diff(ended) > 0))
        return ended[rising], self.grid[rising]
