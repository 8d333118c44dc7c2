"""The window of one order: earliest, likely and latest working day at a level, and why.

Susarla-Van Ryzin curves of how the desk's forecasts turned out (see `forecast`), each level's
posterior the prior of the next: the declared window, then the factory's orders, the family's, the
weight class's, the finish's, the part's; at last, where the factory has promised a date, the
promised orders. Without history that is the declared window itself. For an order under way the
curve is taken given the days already gone. The record also says how often windows made this way
held; where they held more or less than they should, the shares that are cut off are corrected.
Pure numpy.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from ordering.estimator.forecast import (
    Fits,
    Promises,
    RankOf,
    Record,
    best_walk,
    walk_promises,
)
from ordering.estimator.level import Array, Orders, normal_tail
from ordering.estimator.survival import Counted, Curve, Observed

GRID = np.linspace(-10.0, 16.0, 1041)
SHARES = np.linspace(0.0, 1.0, 201)
# How many orders each prior is worth against the orders of the level itself.
DECLARED, FAMILY, CLASS, FINISH, PART, PROMISED, EVEN = 2.0, 40.0, 60.0, 60.0, 40.0, 3.0, 60.0
WORTH = (
    FAMILY,
    CLASS,
    FINISH,
    PART,
    DECLARED,
)  # by level of the groups; the last, -1: of all orders
MOST_CURVES = 2000  # kept of one factory, about 20 kB each
# A shorter memory is taken only where it would have served this much better than a longer one.
HALF_LIVES, BETTER = (540.0, 180.0, 60.0), 0.97
FATE_DAYS = 45
LONGEST = 1300  # working days, five years: a contradictory past could otherwise name any century
# Choosing the best of several walks and memories on one record flatters it: of the misses that a
# level allows this share is held back (a full record; measured on simulated factories).
FLATTERED, FULL, MANY = 0.14, 20.0, 100
# A window may miss early less often and late more often where that makes it this much narrower; of its
# misses no more than MOST_EARLY come early.
EARLY_SHARE, WORTH_IT, MOST_EARLY = 0.25, 0.9, 0.75


@dataclass(frozen=True)
class Span:
    """Working days after the order; each a whole number, earliest <= likely <= latest."""

    earliest: int
    likely: int
    latest: int

    def later(self, days: int) -> Span:
        return Span(self.earliest + days, self.likely + days, self.latest + days)


def _days(log_days: Array) -> Array:
    # A past that contradicts itself may forecast e^100 days; what is beyond all sense is enough.
    return np.exp(np.minimum(log_days, 50.0))


def declared_curve(low: float, high: float, middle: float, spread: float) -> Curve:
    """The declared window of `low` to `high` working days as a curve over misses of a forecast.

    A logistic law about the middle with a tenth before the first declared day and a tenth after
    the last, so that an 80 % window drawn from it is the declared one; its tail never ends, so
    there is something to say of an order however late.
    """
    scale = (high - low + 1) / 2 / np.log(9.0)
    days = _days(middle + spread * GRID)
    return Curve.on(GRID, 1.0 / (1.0 + np.exp(np.minimum((days - (low + high) / 2) / scale, 600))))


def on_grid(misses: Array) -> Array:
    return np.clip(misses, GRID[1], GRID[-2])


def _replayed(record: Record, prior: Curve, half_life: float) -> tuple[Array, float]:
    """(which share of the curve of its day each outcome fell at, mean loss of those curves).

    The loss is the quantile (pinball) loss at 10, 50 and 90 %, in log days.
    """
    shares, losses = np.full(record.rows.size, np.nan), []
    for origin, where in record.by_block():
        then = record.as_of(origin)
        weight = then.weight(origin, half_life)
        curve = prior.updated(Observed.of(on_grid(then.misses), then.done, weight), DECLARED)
        shares[where] = 1.0 - curve(on_grid(record.misses[where]))
        done = where[record.done[where]]
        for share in (0.1, 0.5, 0.9):
            off = (record.misses[done] - curve.quantile(share)) * record.spread[done]
            losses.append(np.maximum(share * off, (share - 1) * off))
    lost = np.concatenate((np.zeros(0), *losses))
    return shares, float(lost.mean()) if lost.size else 0.0


def shared_fate(record: Record, day: int) -> float:
    """How many orders stand for one independent one (the design effect, at least 1).

    Orders placed within weeks of each other meet the same good or bad weeks: the variance of the
    means of runs of FATE_DAYS, against what it would be were the orders independent.
    """
    if record.rows.size < 20:
        return 1.0
    run = (day - record.orders.placed[record.rows]) // FATE_DAYS
    miss = np.clip(record.misses, -5.0, 5.0)
    runs, codes, sizes = np.unique(run[record.done], return_inverse=True, return_counts=True)
    if runs.size < 3:
        return 1.0
    miss = miss[record.done]
    means = np.bincount(codes, miss) / sizes
    between = np.average((means - miss.mean()) ** 2, weights=sizes) * sizes.size / (sizes.size - 1)
    return max(1.0, float(between * sizes.mean() / max(miss.var(), 1e-9)))


@dataclass(frozen=True)
class Track:
    """A record as windows are drawn from it: each order's miss (on the grid), whether it is over, its
    weight on the as-of day and its (4, n) groups; and how windows made this way held.
    """

    misses: Array
    done: Array
    weight: Array
    groups: Array
    held: Curve

    @classmethod
    def of(cls, record: Record, day: int) -> Track:
        """With the half-life that served the record best, and its design effect."""
        prior = Curve.on(GRID, normal_tail(GRID))
        replays = {h: _replayed(record, prior, h) for h in HALF_LIVES}
        half_life = HALF_LIVES[0]
        for shorter in HALF_LIVES[1:]:
            if replays[shorter][1] < BETTER * replays[half_life][1]:
                half_life = shorter
        shares = replays[half_life][0]
        even = Curve(SHARES, 1.0 - SHARES)
        fate = shared_fate(record, day)
        weight = record.weight(day, max(half_life, 180.0)) / fate
        held = even.updated(Observed.of(np.clip(shares, 0.0, 1.0), record.done, weight), EVEN)
        return cls(
            on_grid(record.misses), record.done, record.weight(day, half_life) / fate,
            record.orders.groups[:, record.rows], held,
        )  # fmt: skip

    def __len__(self) -> int:
        return self.misses.size

    def counted(self, level: int, group: int) -> Counted:
        """The outcomes of one group of a level (see GROUPS); level -1: of all."""
        like = np.ones(len(self), dtype=bool) if level < 0 else self.groups[level] == group
        seen = Observed.of(self.misses[like], self.done[like], self.weight[like])
        return Counted.of(seen, GRID)


# An order's (family, class, finish, part) or the first few of them, and what its window starts from:
# declared first and last day, forecast middle and spread.
Groups = tuple[int, ...]
Start = tuple[float, float, float, float]
# With a promise: how far it moves the curve, and how much it narrows it.
CurveKey = tuple[Groups, Start] | tuple[Groups, Start, float, float]


@dataclass
class Outlook:
    """Everything one factory's past says on one day; answers any number of questions."""

    day: int
    fits: Fits
    track: Track
    promise_track: Track
    promises: Promises
    _curves: dict[CurveKey, Curve] = field(default_factory=dict, repr=False)
    _counted: dict[tuple[int, int], Counted] = field(default_factory=dict, repr=False)

    @classmethod
    def of(cls, orders: Orders, day: int, rank_of: RankOf, half_life: float = 180.0) -> Outlook:
        walk = best_walk(orders, day, rank_of, half_life)
        promised, promises = walk_promises(walk.record, day, half_life)
        return cls(day, walk.fits, Track.of(walk.record, day), Track.of(promised, day), promises)

    def curve(self, groups: Groups, start: Start) -> Curve:
        """The chain of posteriors over misses, each level's the prior of the next."""
        key = (groups, start)
        if key not in self._curves:
            level = len(groups) - 1
            prior = self.curve(groups[:-1], start) if groups else declared_curve(*start)
            if level < 0 or groups[level] >= 0:
                prior = prior.posterior(
                    self._like(level, groups[-1] if groups else -1), WORTH[level]
                )
            self._keep(key, prior)
        return self._curves[key]

    def _like(self, level: int, group: int) -> Counted:
        if (level, group) not in self._counted:
            self._counted[level, group] = self.track.counted(level, group)
        return self._counted[level, group]

    def _keep(self, key: CurveKey, curve: Curve) -> None:
        while len(self._curves) >= MOST_CURVES:
            self._curves.pop(next(iter(self._curves)))
        self._curves[key] = curve

    def start(self, low: float, high: float, middle: float, spread: float) -> Start:
        """Beside orders the declared window weighs little: like questions share a curve."""
        if len(self.track):
            step = 0.25 if len(self.track) >= MANY else 0.05
            middle, spread = round(middle / step) * step, max(round(spread * 20), 1) / 20
        return low, high, middle, spread

    def promised_curve(
        self, groups: Groups, start: Start, middle: float, spread: float, promised: float
    ) -> tuple[Curve, float, float]:
        """The curve updated by how promised orders turned out, in the promise's own misses."""
        at, width = (
            float(v[0]) for v in self.promises.applied(np.array([middle]), np.array([promised]))
        )
        moved, ratio = (at - middle) / spread, width / spread
        if len(self.promise_track) >= MANY:
            moved, ratio = round(moved * 4) / 4, max(round(ratio * 10), 1) / 10
        key = (groups, start, moved, ratio)
        if key not in self._curves:
            prior = Curve.on(GRID, self.curve(groups, start)(moved + ratio * GRID))
            self._keep(key, prior.posterior(self._promised, PROMISED))
        return self._curves[key], at, width

    @cached_property
    def _promised(self) -> Counted:
        return self.promise_track.counted(-1, -1)

    def span(
        self,
        groups: Groups,
        low: float,
        high: float,
        middle: float,
        spread: float,
        level: float = 0.8,
        waited: int | None = None,
        promised: float | None = None,
    ) -> Span:
        """The window; `waited` whole working days without shipping so far, `promised` in working days."""
        begin, orders, misses = self.start(low, high, middle, spread), len(self.track), 1 - level
        if promised is None:
            curve, held = self.curve(groups, begin), self.track.held
            misses *= 1 - FLATTERED * orders / (orders + FULL)
        else:
            # What promises are worth is one line, not the best of several: nothing flatters it.
            curve, middle, spread = self.promised_curve(groups, begin, middle, spread, promised)
            held = self.promise_track.held
        if waited is not None:
            curve = curve.given_beyond((np.log(waited + 0.5) - middle) / spread)

        first = 0 if waited is None else waited + 1
        even, skewed = (
            whole_days(Outcomes(curve, held, middle, spread), misses, share * misses, first)
            for share in (0.5, EARLY_SHARE)
        )
        narrower = skewed.latest - skewed.earliest < WORTH_IT * (even.latest - even.earliest)
        return skewed if narrower else even


@dataclass(frozen=True)
class Outcomes:
    """When an order may ship: a curve over misses, corrected by how windows made this way held."""

    curve: Curve
    held: Curve
    middle: float
    spread: float

    def by(self, share: float) -> float:
        """The working days within which this share has shipped."""
        at = float(self.curve.quantile(self.held.quantile(share)))
        return float(np.exp(min(self.middle + self.spread * at, 30.0)))

    def before(self, days: float) -> float:
        """The share that has shipped by then."""
        at = (np.log(max(days, 0.01)) - self.middle) / self.spread
        return 1.0 - float(self.held(1.0 - self.curve(np.array(at))))


def whole_days(outcomes: Outcomes, misses: float, early: float, first: int) -> Span:
    """The window that misses the share `misses`, about `early` of it before the earliest day.

    Day d stands for [d - 1/2, d + 1/2]. The earliest is the whole day nearest to its share, none before
    `first`; what it misses, counted in whole days, the latest makes up for, so that the two together
    miss as they should: an order that can't ship before tomorrow is never missed early.
    """
    longest = first + LONGEST

    def nearest(share: float, half: float) -> int:
        return int(np.rint(min(outcomes.by(share), longest) + half))

    earliest = max(nearest(early, 0.5), first)
    missed = outcomes.before(earliest - 0.5)
    if missed > MOST_EARLY * misses and earliest > first:
        earliest -= 1
        missed = outcomes.before(earliest - 0.5)
    latest = max(nearest(1.0 - max(misses - missed, misses / 10), -0.5), earliest)
    return Span(earliest, min(max(nearest(0.5, 0.0), earliest), latest), latest)
