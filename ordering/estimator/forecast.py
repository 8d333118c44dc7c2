"""What the desk would have said, order by order, and how that turned out.

At each of some thirty days in the past the level (see `level`) is fitted to what was known that
day, and the orders placed until the next such day are forecast from it. How far they came out,
in units of the forecast's own spread, is the record on which a window is built: its misses
contain everything that went wrong with the forecasts, not only the noise about a fitted curve.
A promise of the factory is put to the same test: how much of what it says beyond the desk's own
forecast came true. Nothing later than the as-of day is ever read. Pure numpy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from ordering.estimator.changes import sudden_changes
from ordering.estimator.level import (
    Array,
    Fit,
    Level,
    Orders,
    fit,
    log_density,
    normal_tail,
    working_targets,
)

ORIGINS = 30
# The record reaches back a year, or as long as it takes to hold so many orders, or to the start.
RECORD_DAYS, RECORD_ORDERS = 365, 300
FIRST_SHIPPED, FEWEST_FORECASTS, ENOUGH_SINCE = 8, 20, 12
SEASON_NEEDS = 550
BEFORE = 0.3  # what a forecast from before a sudden change counts, against one since
# (wander, drift) of the level: hardly moving, moving, jumping, and going on as it went.
WALKS = ((0.01, 0.0), (0.04, 0.0), (0.10, 0.0), (0.02, 0.8))
# Before any promise was kept or broken: half of what it adds is believed, give or take a half.
PROMISE_PRIOR = np.array([0.0, 0.5])
PROMISE_PRECISION = np.diag([1 / 0.3**2, 1 / 0.5**2])

RankOf = Callable[[int], int]


@dataclass(frozen=True)
class Record:
    """Past forecasts (log scale) of the orders `rows`, and what came of them by the as-of day.

    `block` numbers the origin each was forecast from, the day `stops[block]`; `outcome` is log
    working days, or of the wait so far where `done` is False.
    """

    orders: Orders
    rank_of: RankOf
    stops: Array
    rows: Array
    block: Array
    middle: Array
    spread: Array
    outcome: Array
    done: Array
    breaks: tuple[int, ...] = ()

    @property
    def misses(self) -> Array:
        return (self.outcome - self.middle) / self.spread

    def score(self, weight: Array) -> float:
        """Weighted log likelihood of what happened under the forecasts; higher is better."""
        z = self.misses
        overdue = np.log(np.maximum(normal_tail(np.clip(z, -8, 8)), 1e-9))
        said = np.where(self.done, log_density(z) - np.log(self.spread), overdue)
        return float((weight * said).sum())

    def weight(self, day: int, half_life: float) -> Array:
        """What each forecast counts on `day`: less the older it is, and less from before a change."""
        placed = self.orders.placed[self.rows]
        weight = age_weight(day - placed, half_life)
        for start in self.breaks:
            if start <= day:
                weight = np.where(placed < start, BEFORE * weight, weight)
        return weight

    def only(self, keep: Array) -> Record:
        return replace(
            self, **{name: getattr(self, name)[keep] for name in
                     ("rows", "block", "middle", "spread", "outcome", "done")}
        )  # fmt: skip

    def as_of(self, day: int) -> Record:
        """The same forecasts with what had come of them by an earlier day."""
        kept = self.only(self.orders.placed[self.rows] <= day)
        rows, outcome, done = self.orders.as_known(day, self.rank_of(day))
        at = np.searchsorted(rows, kept.rows)
        return replace(kept, outcome=outcome[at], done=done[at])

    def by_block(self) -> Iterator[tuple[int, Array]]:
        """(day of the origin, positions of the orders forecast from it), the past first."""
        for number, day in enumerate(self.stops):
            where = np.flatnonzero(self.block == number)
            if where.size:
                yield int(day), where


def age_weight(age: Array, half_life: float) -> Array:
    return 0.5 ** (np.maximum(age, 0) / half_life)


def origins(orders: Orders, day: int) -> Array:
    """The days from which the past is forecast, the as-of day not included."""
    if not len(orders):
        return np.zeros(0, dtype=int)
    enough = orders.placed[max(len(orders) - RECORD_ORDERS, 0)]
    first = max(int(orders.placed[0]) - 1, min(day - RECORD_DAYS, int(enough)))
    return np.unique(np.linspace(first, day, ORIGINS + 1).astype(int)[:-1])


@dataclass(frozen=True)
class Fits:
    """The fits made at each of `stops` and, the last of `made`, on the as-of day."""

    day: int
    stops: Array
    made: tuple[Fit, ...]

    @property
    def now(self) -> Fit:
        return self.made[-1]

    def forecast(self, asked: Orders) -> tuple[Array, Array]:
        """(middle, spread) on the log scale: a past order's from before its day, a new one's from now."""
        middle, spread = np.zeros(len(asked)), np.ones(len(asked))
        from_ = _fit_before(self.stops, asked.placed)
        from_[asked.placed >= self.day] = len(self.made) - 1
        for number in np.unique(from_):
            rows = np.flatnonzero(from_ == number)
            middle[rows], spread[rows] = self.made[number].predict(asked.take(rows))
        return middle, spread


@dataclass(frozen=True)
class Walk:
    """The fits, and the record of what those of the past forecast."""

    fits: Fits
    record: Record


def _learned_by(orders: Orders, stops: Array) -> int:
    """The origin the record starts from: what was said before the first few shipments is of no use
    for judging what is said after them, unless there is little else.
    """
    known = np.searchsorted(np.sort(orders.shipped), stops, side="right")
    able = stops[known >= FIRST_SHIPPED]
    if able.size and (orders.placed > able[0]).sum() >= FEWEST_FORECASTS:
        return int(able[0])
    return int(stops[0])


def _straddling(
    orders: Orders, rows: Array, stops: Array, breaks: tuple[int, ...], day: int
) -> Array:
    """Which of `rows` were placed after a sudden change and forecast before it could be known.

    They tell of that change, not of how forecasts turn out once enough orders have shipped since.
    """
    made = stops[_fit_before(stops, orders.placed[rows])]
    astride = np.zeros(rows.size, dtype=bool)
    for start, end in zip(breaks, (*breaks, np.inf)[1:], strict=True):
        inside = (orders.placed >= start) & (orders.placed < end)
        shipped = np.sort(orders.shipped[inside & (orders.shipped <= day)])
        if shipped.size >= ENOUGH_SINCE:
            astride |= inside[rows] & (made < shipped[FIRST_SHIPPED - 1])
    return astride


def _fit_before(stops: Array, placed: Array) -> Array:
    return np.maximum(np.searchsorted(stops, placed, side="left") - 1, 0)


def walk_forward(orders: Orders, day: int, rank_of: RankOf, model: Level) -> Walk:
    """Forecast the past from each origin. `orders` are sorted by the day placed, none after `day`."""
    stops = origins(orders, day)
    fits = tuple(fit(orders, int(d), rank_of(int(d)), model) for d in (*stops, day))
    empty = np.zeros(0)
    record = Record(orders, rank_of, stops, empty.astype(int), empty.astype(int), empty, empty,
                    empty, empty.astype(bool))  # fmt: skip
    if stops.size:
        rows = np.flatnonzero(orders.placed > _learned_by(orders, stops))
        rows = rows[~_straddling(orders, rows, stops, model.breaks, day)]
        _, outcome, done = orders.as_known(day, rank_of(day))
        block = _fit_before(stops, orders.placed[rows])
        said = [fits[n].predict(orders.take(rows[block == n])) for n in range(stops.size)]
        middle, spread = (np.concatenate(column) for column in zip(*said, strict=True))
        record = Record(
            orders, rank_of, stops, rows, block, middle, spread, outcome[rows], done[rows],
            model.breaks,
        )  # fmt: skip
    return Walk(Fits(day, stops, fits), record)


def best_walk(orders: Orders, day: int, rank_of: RankOf, half_life: float) -> Walk:
    """The walk whose past forecasts were likeliest, recent ones weighing more."""
    span = day - int(orders.placed[0]) if len(orders) else 0
    seasons = (False, True) if span >= SEASON_NEEDS else (False,)
    levels = [Level(wander, drift, season) for wander, drift in WALKS for season in seasons]
    breaks = sudden_changes(orders, day, rank_of(day), levels)
    walks = [walk_forward(orders, day, rank_of, replace(level, breaks=breaks)) for level in levels]

    return max(walks, key=lambda walk: walk.record.score(walk.record.weight(day, half_life)))


@dataclass(frozen=True)
class Promises:
    """How the factory's promises turn out: log days = forecast + shift + trust x what was said beyond it."""

    shift: float
    trust: float
    noise: float

    def applied(self, middle: Array, promised: Array) -> tuple[Array, Array]:
        said = np.clip(np.log(np.maximum(promised, 0.5)) - middle, -1.5, 1.5)
        moved = middle + self.shift + self.trust * said
        return moved, np.full_like(moved, np.sqrt(self.noise))


def learn_promises(record: Record, weight: Array) -> Promises:
    """A censored, robust line through the promised orders of a record."""
    said = np.log(np.maximum(record.orders.promised[record.rows], 0.5)) - record.middle
    line = np.column_stack([np.ones(said.size), np.clip(said, -1.5, 1.5)])
    happened = record.outcome - record.middle
    noise, beta = 0.2**2, PROMISE_PRIOR
    for _ in range(6):
        w, aim, square = working_targets(happened, line @ beta, record.done, noise)
        noise = (4 * 0.2**2 + (weight * square).sum()) / (4 + weight.sum())
        weighted = line * (weight * w / noise)[:, None]
        beta = np.linalg.solve(
            line.T @ weighted + PROMISE_PRECISION,
            weighted.T @ aim + PROMISE_PRECISION @ PROMISE_PRIOR,
        )
    return Promises(float(beta[0]), float(beta[1]), float(noise))


def walk_promises(record: Record, day: int, half_life: float) -> tuple[Record, Promises]:
    """The promised orders forecast again with what had been learned of promises at each origin."""

    def learned(seen: Record, on: int) -> Promises:
        return learn_promises(seen, seen.weight(on, half_life))

    promised = record.only(~np.isnan(record.orders.promised[record.rows]))
    middle, spread = promised.middle.copy(), promised.spread.copy()
    for origin, where in promised.by_block():
        said = record.orders.promised[promised.rows[where]]
        then = learned(promised.as_of(origin), origin)
        middle[where], spread[where] = then.applied(promised.middle[where], said)
    return replace(promised, middle=middle, spread=spread), learned(promised, day)
