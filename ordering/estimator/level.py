"""How long an order takes at this factory now: a robust, censored regression on log working days.

    log days = log of the declared middle + level(date) + season(date) + slope x log quantity
               + family + weight class + finish + part + noise

The level wanders (a random walk on monthly knots), the season is two waves a year, and the group
effects are shrunk towards nothing, so that a part seldom sold borrows from its family. Noise is
Student-t (an order forgotten for months doesn't move the rest). An open order counts as "longer
than so far" (Tobit likelihood), so a slowdown shows before the late orders have shipped.
Fitted by iteratively reweighted least squares; pure numpy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

Array = np.ndarray

FREEDOM = 5.0  # of the Student-t noise
MONTH = 30.4375
YEAR = 365.25
# Standard deviations on the log scale before any order is seen, and how many orders that is worth.
FIRST_LEVEL, SEASON, QUANTITY, NOISE = 0.35, 0.12, 0.10, 0.20
GROUPS = ("family", "weight_class", "finish", "part")
GROUP_SPREAD = {"family": 0.20, "weight_class": 0.08, "finish": 0.08, "part": 0.08}
BREAK = 0.40  # standard deviation of a sudden change
WORTH = 4.0
ROUNDS = 6
# The rank up to which an order of the desk's own is known to wait: any.
STILL_HEARD = np.iinfo(np.int64).max


@dataclass(frozen=True)
class Orders:
    """Past orders of one factory as columns. Days are whole days since 1970.

    lead    working days from order to shipment, NaN while open or not yet known
    rank    running number of the order's working day, so an open order has waited today's less it
    middle  the declared middle in working days
    groups  (4, n) whole numbers >= 0: family, weight class and finish within it, part; -1 unknown
    heard   rank of the last day on which an open order is known to have waited (see `Past.heard`)
    """

    placed: Array
    rank: Array
    shipped: Array
    lead: Array
    middle: Array
    quantity: Array
    promised: Array
    groups: Array
    heard: Array

    def __len__(self) -> int:
        return self.placed.size

    def take(self, rows: Array) -> Orders:
        return Orders(*(getattr(self, name)[..., rows] for name in self.__dataclass_fields__))

    def as_known(self, day: int, rank: int) -> tuple[Array, Array, Array]:
        """(rows, log days or log of the wait so far, shipped) of the orders placed by `day`."""
        rows = np.flatnonzero(self.placed <= day)
        done = self.shipped[rows] <= day
        waited = np.maximum(np.minimum(rank, self.heard[rows]) - self.rank[rows] + 0.5, 0.5)
        return rows, np.log(np.where(done, self.lead[rows], waited)), done


@dataclass(frozen=True)
class Level:
    """What the regression may assume of the level: the walk's standard deviation a month, the share
    of one month's change that goes on into the next (0: none), whether there are seasons, and the
    first days of sudden changes (see `changes`).
    """

    wander: float
    drift: float
    season: bool
    breaks: tuple[int, ...] = ()


def normal_tail(z: Array) -> Array:
    """P(Z > z) of the normal law, error below 1e-7 (Abramowitz and Stegun 26.2.17)."""
    x = np.abs(z)
    t = 1.0 / (1.0 + 0.2316419 * x)
    series = t * (
        0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429)))
    )
    tail = np.exp(-0.5 * x * x) / np.sqrt(2 * np.pi) * series
    return np.where(z >= 0, tail, 1.0 - tail)


def normal_hazard(z: Array) -> Array:
    """Density over tail of the normal law; z + 1/z far out, where the tail would vanish."""
    near = np.minimum(z, 5.0)
    hazard = np.exp(-0.5 * near**2) / np.sqrt(2 * np.pi) / normal_tail(near)
    return np.where(z > 5.0, z + 1.0 / np.maximum(z, 1.0), hazard)


def log_density(z: Array) -> Array:
    """Log density of Student's t with FREEDOM degrees, without its constant."""
    return -(FREEDOM + 1) / 2 * np.log1p(z**2 / FREEDOM)


@dataclass
class Fit:
    """A fitted level as known on one day. `predict` gives the log scale's middle and spread."""

    day: int
    knots: Array
    model: Level
    beta: Array
    covariance: Array
    noise: float
    effects: list[Array]
    variances: list[Array]
    unseen: list[float]
    evidence: float

    def design(self, orders: Orders) -> Array:
        """(n, knots + 4 + 1): hat functions of the level, two waves a year, log quantity."""
        return _design(orders, self.knots, self.model)

    def penalty(self) -> Array:
        """The precision of the prior of `beta`."""
        return _penalty(self.knots, self.model)

    def middle(self, orders: Orders) -> Array:
        """Log of working days over the declared middle's, for orders of the groups fitted."""
        expected = self.design(orders) @ self.beta
        for codes, effect in zip(orders.groups, self.effects, strict=True):
            expected += np.where(codes >= 0, effect[np.maximum(codes, 0)], 0.0)
        return expected

    def predict(self, orders: Orders) -> tuple[Array, Array]:
        """(middle, spread) of log working days for each order, as seen from the day of the fit."""
        design = self.design(orders)
        middle = np.log(orders.middle) + design @ self.beta
        variance = self.noise + np.einsum("ij,jk,ik->i", design, self.covariance, design)
        ahead = np.maximum(orders.placed - self.day, 0)
        variance += self.model.wander**2 * ahead / MONTH
        for codes, effect, known, unseen in zip(
            orders.groups, self.effects, self.variances, self.unseen, strict=True
        ):
            seen = (codes >= 0) & (codes < effect.size)
            at = np.where(seen, codes, 0)
            middle += np.where(seen, effect[at], 0.0)
            variance += np.where(seen, known[at], unseen)
        return middle, np.sqrt(variance)


def _design(orders: Orders, knots: Array, model: Level) -> Array:
    n, k = len(orders), knots.size
    design = np.zeros((n, k + 5))
    place = np.interp(orders.placed, knots, np.arange(k))
    left = np.minimum(place.astype(int), max(k - 2, 0))
    rows = np.arange(n)
    design[rows, left] = 1.0 - (place - left)
    if k > 1:
        design[rows, left + 1] = place - left
    if model.season:
        angle = 2 * np.pi * orders.placed / YEAR
        design[:, k : k + 4] = np.column_stack(
            [np.sin(angle), np.cos(angle), np.sin(2 * angle), np.cos(2 * angle)]
        )
    design[:, k + 4] = np.log(np.maximum(orders.quantity, 1.0)) - np.log(2.0)
    return design


def level_knots(first: int, day: int, breaks: tuple[int, ...]) -> Array:
    """Monthly from `first` to `day`; a sudden change has one on its first day and one on the eve."""
    knots = np.linspace(first, day, max(1, round((day - first) / MONTH) + 1))
    for start in breaks:
        if first + 1 < start < day:
            far = (np.abs(knots - start) > MONTH / 4) | (knots == first) | (knots == day)
            knots = np.union1d(knots[far], (start - 1.0, start))
    return knots


def _penalty(knots: Array, model: Level) -> Array:
    """The prior's precision: a random walk from an unsure start, ridges on season and quantity."""
    k = knots.size
    precision = np.zeros((k + 5, k + 5))
    precision[0, 0] = 1 / FIRST_LEVEL**2
    if k > 1:
        gap, sudden = np.diff(knots), np.isin(knots[1:], model.breaks)
        change = np.diff(np.eye(k), axis=0)
        # What goes on is the slope, not the step; nothing goes on into or out of a sudden change.
        going_on = model.drift * gap[1:] / gap[:-1] * ~(sudden[1:] | sudden[:-1])
        surprise = change.copy()
        surprise[1:] -= going_on[:, None] * change[:-1]
        step = model.wander**2 * gap / MONTH + np.where(sudden, BREAK**2, 0.0)
        precision[:k, :k] += surprise.T @ (surprise / step[:, None])
    season = np.arange(k, k + 4)
    precision[season, season] = 1 / SEASON**2
    precision[k + 4, k + 4] = 1 / QUANTITY**2
    return precision


def fit(orders: Orders, day: int, rank: int, model: Level) -> Fit:
    """Fit to what was known on `day` (whose working day has the running number `rank`)."""
    rows, log_days, done = orders.as_known(day, rank)
    known = orders.take(rows)
    offset = log_days - np.log(known.middle)
    first = int(known.placed.min()) if rows.size else day
    knots = level_knots(first, day, model.breaks)
    design, penalty = _design(known, knots, model), _penalty(knots, model)
    effects = [np.zeros(int(codes.max(initial=0)) + 1) for codes in known.groups]
    variances = [
        np.full(e.size, GROUP_SPREAD[g] ** 2) for g, e in zip(GROUPS, effects, strict=True)
    ]
    spreads = [GROUP_SPREAD[g] ** 2 for g in GROUPS]
    noise, beta = NOISE**2, np.zeros(design.shape[1])
    beta[: knots.size] = np.median(offset[done]) if done.any() else 0.0
    grouped = np.zeros(rows.size)
    for _ in range(ROUNDS):
        expected = design @ beta + grouped
        weight, aim, square = working_targets(offset, expected, done, noise)
        if rows.size:
            noise = (WORTH * NOISE**2 + square.sum()) / (WORTH + rows.size)
        weighted = design * (weight / noise)[:, None]
        covariance = np.linalg.inv(design.T @ weighted + penalty)
        beta = covariance @ (weighted.T @ (aim - grouped))
        rest = aim - design @ beta
        for g, codes in enumerate(known.groups):
            effects[g], variances[g], spreads[g], grouped = _group(
                codes, rest, grouped, weight, effects[g], spreads[g], noise, GROUPS[g]
            )
    evidence = _evidence(offset - design @ beta - grouped, done, noise)
    evidence += (np.linalg.slogdet(penalty)[1] + np.linalg.slogdet(covariance)[1]) / 2
    evidence -= float(beta @ penalty @ beta) / 2
    return Fit(day, knots, model, beta, covariance, noise, effects, variances, spreads, evidence)


def _evidence(miss: Array, done: Array, noise: float) -> float:
    """Log likelihood of the misses of a fit: of the day of shipping, or of waiting longer than so far."""
    z = miss / np.sqrt(noise)
    longer = np.log(normal_tail(np.clip(z, -8.0, 8.0)))
    return float(np.where(done, log_density(z) - np.log(noise) / 2, longer).sum())


def working_targets(
    offset: Array, expected: Array, done: Array, noise: float
) -> tuple[Array, Array, Array]:
    """Newton's weights and targets, and each order's expected weighted square of its noise."""
    sigma = np.sqrt(noise)
    z = (offset - expected) / sigma
    robust = (FREEDOM + 1) / (FREEDOM + z**2)
    hazard = normal_hazard(np.clip(z, -8.0, 8.0))
    bend = np.clip(hazard * (hazard - z), 1e-6, 1.0)
    weight = np.where(done, robust, bend)
    aim = np.where(done, offset, expected + sigma * hazard / bend)
    square = noise * np.where(done, robust * z**2, np.clip(1 + z * hazard, 0.0, 4.0))
    return weight, aim, square


def _group(
    codes: Array,
    rest: Array,
    grouped: Array,
    weight: Array,
    effect: Array,
    spread: float,
    noise: float,
    name: str,
) -> tuple[Array, Array, float, Array]:
    """One group's effects shrunk by their own spread, and that spread as the groups show it."""
    seen, at = codes >= 0, np.maximum(codes, 0)
    without = grouped - np.where(seen, effect[at], 0.0)
    w = np.where(seen, weight, 0.0)
    total = np.bincount(at, w, minlength=effect.size)
    pull = np.bincount(at, w * (rest - without), minlength=effect.size)
    variance = 1.0 / (total / noise + 1.0 / spread)
    effect = variance * pull / noise
    present = total > 0
    prior = GROUP_SPREAD[name] ** 2
    spread = float(
        (WORTH * prior + (effect**2 + variance)[present].sum()) / (WORTH + present.sum())
    )
    return effect, variance, spread, without + np.where(seen, effect[at], 0.0)
