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

from ordering.forecast import (
    Array,
    Promises,
    RankOf,
    Record,
    Walk,
    best_walk,
    walk_promises,
)
from ordering.level import Orders, normal_tail
from ordering.survival import Curve, Observed

GRID = np.linspace(-10.0, 16.0, 1041)
SHARES = np.linspace(0.0, 1.0, 201)
# How many orders each prior is worth against the orders of the level itself.
DECLARED, FAMILY, CLASS, FINISH, PART, PROMISED, EVEN = 2.0, 40.0, 60.0, 60.0, 40.0, 3.0, 60.0
# A shorter memory is taken only where it would have served this much better than a longer one.
HALF_LIVES, BETTER = (540.0, 180.0, 60.0), 0.97
FATE_DAYS = 45
LONGEST = 1300  # working days, five years: a contradictory past could otherwise name any century
# Choosing the best of several walks and memories on one record flatters it: of the misses that a
# level allows this share is held back (a full record; measured on simulated factories).
FLATTERED, FULL, MANY = 0.14, 20.0, 100
# A window may miss early less often and late more often where that makes it this much narrower.
EARLY_SHARE, WORTH_IT = 0.25, 0.9


@dataclass(frozen=True)
class Span:
    """Working days after the order; each a whole number, earliest <= likely <= latest."""

    earliest: int
    likely: int
    latest: int


def declared_curve(low: float, high: float, middle: float, spread: float) -> Curve:
    """The declared window of `low` to `high` working days as a curve over misses of a forecast.

    A logistic law about the middle with a tenth before the first declared day and a tenth after
    the last, so that an 80 % window drawn from it is the declared one; its tail never ends, so
    there is something to say of an order however late.
    """
    scale = (high - low + 1) / 2 / np.log(9.0)
    days = np.exp(middle + spread * GRID)
    return Curve.on(GRID, 1.0 / (1.0 + np.exp(np.minimum((days - (low + high) / 2) / scale, 600))))


def observed(record: Record, weight: Array) -> Observed:
    return Observed.of(np.clip(record.misses, GRID[1], GRID[-2]), record.done, weight)


def _replayed(record: Record, prior: Curve, half_life: float) -> tuple[Array, float]:
    """(which share of the curve of its day each outcome fell at, mean loss of those curves).

    The loss is the quantile (pinball) loss at 10, 50 and 90 %, in log days.
    """
    shares, losses = np.full(record.rows.size, np.nan), []
    for origin, where in record.by_block():
        then = record.as_of(origin)
        curve = prior.updated(observed(then, then.weight(origin, half_life)), DECLARED)
        miss = np.clip(record.misses[where], GRID[1], GRID[-2])
        shares[where] = 1.0 - curve(miss)
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
    """A record with the half-life that served it best, how its windows held, and its design effect."""

    record: Record
    half_life: float
    held: Curve
    fate: float

    @classmethod
    def of(cls, record: Record, day: int) -> Track:
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
        return cls(record, half_life, held, fate)

    def weight(self, day: int) -> Array:
        return self.record.weight(day, self.half_life) / self.fate


@dataclass
class Outlook:
    """Everything one factory's past says on one day; answers any number of questions."""

    orders: Orders
    day: int
    rank_of: RankOf
    half_life: float = 180.0
    _curves: dict = field(default_factory=dict, repr=False)

    @cached_property
    def walk(self) -> Walk:
        return best_walk(self.orders, self.day, self.rank_of, self.half_life)

    @cached_property
    def track(self) -> Track:
        return Track.of(self.walk.record, self.day)

    @cached_property
    def promise_track(self) -> tuple[Track, Promises]:
        record, promises = walk_promises(self.walk.record, self.day, self.half_life)
        return Track.of(record, self.day), promises

    def curve(
        self, groups: tuple[int, ...], low: float, high: float, middle: float, spread: float
    ) -> Curve:
        """The chain of posteriors over misses, for one part's (family, class, finish, part)."""
        track, record = self.track, self.track.record
        if record.rows.size:
            # Beside orders the declared window weighs little: like questions share a curve.
            step = 0.25 if record.rows.size >= MANY else 0.05
            middle, spread = round(middle / step) * step, max(round(spread * 20), 1) / 20
        key = (groups, low, high, middle, spread)
        if key not in self._curves:
            weight = track.weight(self.day)
            curve = declared_curve(low, high, middle, spread)
            curve = curve.updated(observed(record, weight), DECLARED)
            codes = record.orders.groups[:, record.rows]
            for level, strength in enumerate((FAMILY, CLASS, FINISH, PART)):
                like = (codes[level] == groups[level]) & (groups[level] >= 0)
                curve = curve.updated(observed(record.only(like), weight[like]), strength)
            self._curves[key] = curve
        return self._curves[key]

    def promised_curve(
        self, base: Curve, middle: float, spread: float, promised: float
    ) -> tuple[Curve, float, float]:
        """The base curve updated by how promised orders turned out, in the promise's own misses."""
        track, promises = self.promise_track
        at, width = (
            float(v[0]) for v in promises.applied(np.array([middle]), np.array([promised]))
        )
        moved, ratio = (at - middle) / spread, width / spread
        if track.record.rows.size >= MANY:
            moved, ratio = round(moved * 4) / 4, max(round(ratio * 10), 1) / 10
        key = (id(base), moved, ratio)
        if key not in self._curves:
            prior = Curve.on(GRID, base(moved + ratio * GRID))
            seen = observed(track.record, track.weight(self.day))
            self._curves[key] = prior.updated(seen, PROMISED)
        return self._curves[key], at, width

    def span(
        self,
        groups: tuple[int, ...],
        low: float,
        high: float,
        middle: float,
        spread: float,
        level: float = 0.8,
        waited: int | None = None,
        promised: float | None = None,
    ) -> Span:
        """The window; `waited` whole working days without shipping so far, `promised` in working days."""
        curve, track = self.curve(groups, low, high, middle, spread), self.track
        if promised is not None:
            curve, middle, spread = self.promised_curve(curve, middle, spread, promised)
            track = self.promise_track[0]
        if waited is not None:
            curve = curve.given_beyond((np.log(waited + 0.5) - middle) / spread)

        orders = track.record.rows.size
        misses = (1 - level) * (1 - FLATTERED * orders / (orders + FULL))

        def window(early: float) -> Array:
            shares = track.held.quantile(np.array([early, 0.5, 1 - misses + early]))
            return np.exp(middle + spread * curve.quantile(shares))

        even, skewed = window(misses / 2), window(misses * EARLY_SHARE)
        narrower = skewed[2] - skewed[0] < WORTH_IT * (even[2] - even[0])
        return whole_days(skewed if narrower else even, 0 if waited is None else waited + 1)


def whole_days(days: Array, first: int) -> Span:
    """Day d stands for [d - 1/2, d + 1/2]: the whole days whose span is nearest to the window's."""
    days = np.minimum(days, first + LONGEST)
    earliest = max(int(np.rint(days[0] + 0.5)), first)
    latest = max(int(np.rint(days[2] - 0.5)), earliest)
    likely = min(max(int(np.rint(days[1])), earliest), latest)
    return Span(earliest, likely, latest)
