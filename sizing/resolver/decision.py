"""What to do about a size: take the row, ask for one more measure, or call it special.

The choice with the least expected cost wins. What a question is worth is worked out over every answer
it may bring: the readings it could give, how likely each is, and what would then be decided.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sizing.resolver.compiled import FINEST, CompiledTable
from sizing.resolver.posterior import Weights, even_rows, weigh

PART, ASK, SPECIAL = 0, 1, 2
# Rows looked at when weighing a question: the likeliest ones hold all the weight that matters.
LIKELY_ROWS = 4
# A further question after this one is taken to settle the matter at about this extra cost.
HOPE = 1.1
# A table lists its measures in the order in which they are easiest to take: a later one has to be worth
# this much more, so that nobody takes the old part out where a tape on the glass would do.
EASE = 0.15
CHUNK = 1024
STEPS_PER_INCH = 64


@dataclass(frozen=True)
class Sizes:
    """One line an opening. `ask` is a place in `compiled.measures` or -1; `shares` is (n, 3)."""

    choice: np.ndarray
    row: np.ndarray
    ask: np.ndarray
    row_certainty: np.ndarray
    shares: np.ndarray
    rows: np.ndarray


def decide_sizes(compiled: CompiledTable, readings: np.ndarray, cannot: np.ndarray) -> Sizes:
    """Decide a batch.

    `readings` (n, measures) int32 in steps of 1/64 in, -1 where not known, in the order of
    `compiled.measures`; `cannot` (n, measures) bool: nobody can take this one, so never ask for it.
    """
    n, measures = readings.shape
    out = Sizes(
        choice=np.full(n, SPECIAL, dtype=np.int8),
        row=np.zeros(n, dtype=np.int32),
        ask=np.full(n, -1, dtype=np.int32),
        row_certainty=np.zeros(n),
        shares=np.zeros((n, 3)),
        rows=np.zeros((n, compiled.rows.shape[1]), dtype=np.float32),
    )
    known = readings >= 0
    pattern = known @ (1 << np.arange(measures, dtype=np.int64))
    for key in np.unique(pattern):
        members = np.flatnonzero(pattern == key)
        given = tuple(i for i in range(measures) if key >> i & 1)
        for start in range(0, len(members), CHUNK):
            _decide_alike(compiled, given, members[start : start + CHUNK], readings, cannot, out)
    return out


def _decide_alike(
    compiled: CompiledTable,
    given: tuple[int, ...],
    members: np.ndarray,
    readings: np.ndarray,
    cannot: np.ndarray,
    out: Sizes,
) -> None:
    known = readings[members][:, list(given)]
    weights = weigh(compiled, given, known)
    on_table, off, uneven = weights.shares()
    total = weights.rows.sum(axis=1, dtype=np.float64) / on_table
    best = weights.rows.argmax(axis=1)
    certainty = weights.rows[np.arange(len(members)), best] / total
    as_part = compiled.costs.wrong * (1 - certainty)
    as_special = compiled.costs.special * on_table
    out.row[members], out.row_certainty[members] = best, certainty
    out.shares[members] = np.stack([on_table, uneven, off], axis=1)
    out.rows[members] = weights.rows / total[:, None]
    out.choice[members] = np.where(as_part <= as_special, PART, SPECIAL)

    cost = np.minimum(as_part, as_special)
    missing = [i for i in range(len(compiled.measures)) if i not in given]
    if len(given) < 2 and compiled.costs.question < compiled.costs.special:
        # One number may be half typed or misheard, and the factory wants more than one for a quote.
        askable_at_all = (~cannot[members][:, missing]).any(axis=1)
        lone = (out.choice[members] == SPECIAL) & askable_at_all
        cost[lone] = np.inf
    doubtful = np.flatnonzero(cost > compiled.costs.question)
    if not missing or not len(doubtful):
        return
    few = weights.of(doubtful)
    askable = ~cannot[members[doubtful]][:, missing]
    for place, index in enumerate(missing):
        more = askable.sum(axis=1) > 1
        after = _cost_after(compiled, few, given, known[doubtful], index, more) / total[doubtful]
        asking = compiled.costs.question + EASE * place
        after = np.where(askable[:, place], asking + after, np.inf)
        better = after < cost[doubtful] - 1e-9
        chosen = doubtful[better]
        cost[chosen] = after[better]
        out.choice[members[chosen]] = ASK
        out.ask[members[chosen]] = index


def _cost_after(
    compiled: CompiledTable,
    weights: Weights,
    given: tuple[int, ...],
    known: np.ndarray,
    index: int,
    more: np.ndarray,
) -> np.ndarray:
    """Expected cost of the best decision once `index` is known, times the total weight; (n,)."""
    pair = compiled.pair
    if pair is not None and index in (pair.upper, pair.lower):
        other = pair.lower if index == pair.upper else pair.upper
        if other in given:
            reading = known[:, given.index(other)]
            return _after_second_sash(compiled, weights, other, index, reading, more)
    grid = _answers(compiled, index)
    likely, places = _likely_rows(weights.rows)
    top = (likely[:, :, None] * grid.rows[places]).max(axis=1)
    all_rows = weights.rows @ grid.rows
    beside = weights.off @ grid.cells
    if pair is not None:
        beside += weights.uneven @ grid.uneven
    return _least(compiled, top, all_rows, beside, more) * grid.step / STEPS_PER_INCH


def _least(
    compiled: CompiledTable,
    top: np.ndarray,
    all_rows: np.ndarray,
    beside: np.ndarray,
    more: np.ndarray,
) -> np.ndarray:
    """Sum over the answers (axis 1) of the cheapest decision's cost at each."""
    costs, total = compiled.costs, all_rows + beside
    cheapest = np.minimum(costs.wrong * (total - top), costs.special * all_rows)
    further = np.minimum(cheapest, costs.question * HOPE * total)
    return np.where(more[:, None], further, cheapest).sum(axis=1, dtype=np.float64)


def _likely_rows(rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(n, k) weights of the likeliest rows and their places."""
    if rows.shape[1] <= LIKELY_ROWS:
        return rows, np.broadcast_to(np.arange(rows.shape[1]), rows.shape)
    places = np.argpartition(rows, -LIKELY_ROWS, axis=1)[:, -LIKELY_ROWS:]
    return np.take_along_axis(rows, places, axis=1), places


@dataclass(frozen=True)
class _Grid:
    """Densities of the answers at evenly spaced readings: (rows, v), (cells, v), (cells, v)."""

    step: float
    rows: np.ndarray
    cells: np.ndarray
    uneven: np.ndarray


@lru_cache(maxsize=256)
def _answers(compiled: CompiledTable, index: int) -> _Grid:
    curves = compiled.measures[index]
    rows, cells = compiled.rows[curves.column], compiled.cells[curves.column]
    first, last = int(rows.min()) - 192, int(rows.max()) + 193
    step = max(1, round(2 * curves.sd), (last - first) // FINEST)
    values = np.arange(first, last, step, dtype=np.int32)[None, :]
    at_cells = curves.cell.at(values - cells[:, None])
    uneven = curves.uneven.at(values - cells[:, None])
    return _Grid(step, curves.row.at(values - rows[:, None]), at_cells, uneven)


@lru_cache(maxsize=64)
def _sums(compiled: CompiledTable) -> tuple[int, int, np.ndarray]:
    """First sum, step between sums, and density (cells, sums) of upper + lower at each cell."""
    pair = compiled.sashes
    glass = compiled.cells[pair.column]
    first, last = int(2 * glass.min()) - 512, int(2 * glass.max()) + 513
    step = max(1, round(compiled.measures[pair.upper].sd), (last - first) // FINEST)
    sums = np.arange(first, last, step, dtype=np.int32)[None, :]
    return first, step, pair.cell_sum.at(sums - 2 * glass[:, None])


def _after_second_sash(
    compiled: CompiledTable,
    weights: Weights,
    first: int,
    second: int,
    reading: np.ndarray,
    more: np.ndarray,
) -> np.ndarray:
    """As `_cost_after` for the glass of the other sash, which slips as the first one did.

    Only answers within 3 in of the first matter: further off nothing but an unequal split is left.
    """
    pair, curves = compiled.sashes, compiled.measures[first]
    step = max(1, round(1.5 * compiled.measures[second].sd))
    u = reading[:, None]
    v = u + np.arange(-192, 193, step, dtype=np.int32)[None, :]
    # Take the first sash's own factor out again; the pair's factor replaces it.
    miss_rows = u - compiled.rows[curves.column]
    miss_cells = u - compiled.cells[curves.column]
    rows = weights.rows / curves.row.at(miss_rows)
    off = weights.off / curves.cell.at(miss_cells)
    uneven = weights.uneven / np.maximum(curves.uneven.at(miss_cells), 1e-30)
    likely, places = _likely_rows(rows * curves.row.at(miss_rows))
    likely = np.take_along_axis(rows, places, axis=1)
    glass = compiled.rows[pair.column][places]
    each = likely[:, :, None] * even_rows(
        compiled, pair, u[:, :, None], v[:, None, :], glass[:, :, None]
    )
    base, sum_step, sums = _sums(compiled)
    at = np.clip((u + v - base) // sum_step, 0, sums.shape[1] - 1)
    off_at = np.take_along_axis(off @ sums, at, axis=1)
    uneven_at = np.take_along_axis(uneven @ sums, at, axis=1)
    beside = 2 * (
        pair.even_difference.at(u - v) * off_at + pair.uneven_difference.at(u - v) * uneven_at
    )
    best, all_rows = each.max(axis=1), each.sum(axis=1)
    return _least(compiled, best, all_rows, beside, more) * step / STEPS_PER_INCH
