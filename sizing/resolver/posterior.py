"""Bayes over the explanations of an opening: each row, a size off the table, an unequal split.

Weights are prior times likelihood, not yet divided by their sum. All arrays are float32 with one line
an opening; a batch holds openings of which the same measures are known.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sizing.resolver.compiled import CompiledTable
from sizing.resolver.curves import SashPair
from sizing.resolver.noise import REACH_STEPS, Curve

# From this many openings on, a curve is laid out against every size once and looked up by the line.
BULK = 128
LARGEST_SHEET = 4_000_000


@dataclass(frozen=True)
class Weights:
    """`rows` (n, rows), `off` and `uneven` (n, cells); `far`, one number for the batch: a size so far
    off the table that no cell lies there, or another kind of window."""

    rows: np.ndarray
    off: np.ndarray
    uneven: np.ndarray
    far: float

    def of(self, members: np.ndarray) -> Weights:
        """Those of some openings of the batch."""
        return Weights(self.rows[members], self.off[members], self.uneven[members], self.far)

    def shares(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """P(some row), P(off the table), P(unequal split): each (n,), summing to 1."""
        rows, off, uneven = (
            w.sum(axis=1, dtype=np.float64) for w in (self.rows, self.off, self.uneven)
        )
        off = off + self.far
        total = rows + off + uneven
        return rows / total, off / total, uneven / total


def weigh(compiled: CompiledTable, given: tuple[int, ...], readings: np.ndarray) -> Weights:
    """Weigh a batch. `readings` is (n, len(given)) int32 in steps of 1/64 in; `given` says of which
    measures, as places in `compiled.measures`, in rising order."""
    n = len(readings)
    rows = np.repeat(compiled.row_prior[None, :], n, axis=0)
    others = np.ones((n, compiled.cells.shape[1]), dtype=np.float32)
    far = compiled.far_prior * float(np.prod([1 / compiled.measures[i].span for i in given]))
    pair = compiled.pair
    both = pair is not None and pair.upper in given and pair.lower in given
    sash = None
    for place, index in enumerate(given):
        curves, reading = compiled.measures[index], readings[:, place]
        if pair is not None and index in (pair.upper, pair.lower):
            if not both:
                sash = (curves, reading)
                rows *= against(curves.row, compiled.rows[curves.column], reading)
            continue
        rows *= against(curves.row, compiled.rows[curves.column], reading)
        others *= against(curves.cell, compiled.cells[curves.column], reading)
    if pair is None:
        nothing = np.zeros((n, 1), dtype=np.float32)
        return Weights(rows, others * compiled.off_prior, nothing, far)
    off, uneven = others * compiled.off_prior, others * compiled.uneven_prior
    if both:
        upper = readings[:, given.index(pair.upper)]
        lower = readings[:, given.index(pair.lower)]
        rows *= both_on_rows(compiled, pair, upper, lower)
        off_fit, uneven_fit = both_in_cells(compiled, pair, upper, lower)
        off *= off_fit
        uneven *= uneven_fit
    elif sash is not None:
        curves, reading = sash
        glass = compiled.cells[pair.column]
        off *= against(curves.cell, glass, reading)
        uneven *= against(curves.uneven, glass, reading)
    return Weights(rows, off, uneven, far)


def against(curve: Curve, sizes: np.ndarray, readings: np.ndarray) -> np.ndarray:
    """Density (n, sizes) of each reading (n,) at each size, both in steps."""
    first, last = int(sizes.min()) - REACH_STEPS, int(sizes.max()) + REACH_STEPS
    if len(readings) < BULK or (last - first) * len(sizes) > LARGEST_SHEET:
        return curve.at(readings[:, None] - sizes)
    sheet = _sheet(curve, sizes.tobytes(), sizes.dtype.str, first, last)
    return sheet.take(readings - first, axis=0, mode="clip")


@lru_cache(maxsize=64)
def _sheet(curve: Curve, sizes: bytes, dtype: str, first: int, last: int) -> np.ndarray:
    every = np.arange(first, last + 1)[:, None]
    return curve.at(every - np.frombuffer(sizes, dtype=dtype))


def both_on_rows(
    compiled: CompiledTable, pair: SashPair, upper: np.ndarray, lower: np.ndarray
) -> np.ndarray:
    """Density (n, rows) of both glass readings (n,) where the split is equal and on the table."""
    a, b = compiled.measures[pair.upper], compiled.measures[pair.lower]
    glass = compiled.rows[pair.column]
    even = pair.even_difference.at(upper - lower)[:, None]
    fair = 2 * even * against(pair.row_sum, 2 * glass, upper + lower)
    return fair + _blundered(
        against(a.row, glass, upper), against(a.row_blunder, glass, upper),
        against(b.row_fair, glass, lower), against(b.row_blunder, glass, lower),
    )  # fmt: skip


def both_in_cells(
    compiled: CompiledTable, pair: SashPair, upper: np.ndarray, lower: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """The same (n, cells) for a size off the table, and for an unequal split whose half sum is the cell."""
    a, b = compiled.measures[pair.upper], compiled.measures[pair.lower]
    glass = compiled.cells[pair.column]
    even, uneven = (
        2 * curve.at(upper - lower)[:, None]
        for curve in (pair.even_difference, pair.uneven_difference)
    )
    off = even * against(pair.cell_sum, 2 * glass, upper + lower) + _blundered(
        against(a.cell, glass, upper), against(a.cell_blunder, glass, upper),
        against(b.cell_fair, glass, lower), against(b.cell_blunder, glass, lower),
    )  # fmt: skip
    split = uneven * against(pair.uneven_sum, 2 * glass, upper + lower)
    # With an unequal split a number out of nowhere on one sash leaves the other as it is.
    anything = float(a.row_blunder.values[0])
    split += anything * (against(a.uneven, glass, upper) + against(b.uneven, glass, lower))
    return off, split


def _blundered(
    any_a: np.ndarray, blunder_a: np.ndarray, fair_b: np.ndarray, blunder_b: np.ndarray
) -> np.ndarray:
    """At least one of two readings a blunder."""
    return any_a * blunder_b + blunder_a * fair_b


def even_rows(
    compiled: CompiledTable, pair: SashPair, upper: np.ndarray, lower: np.ndarray, glass: np.ndarray
) -> np.ndarray:
    """As `both_on_rows` at any sizes of `glass`; the three arguments broadcast together."""
    a, b = compiled.measures[pair.upper], compiled.measures[pair.lower]
    fair = pair.even_difference.at(upper - lower) * pair.row_sum.at(upper + lower - 2 * glass)
    return 2 * fair + _blundered(
        a.row.at(upper - glass), a.row_blunder.at(upper - glass),
        b.row_fair.at(lower - glass), b.row_blunder.at(lower - glass),
    )  # fmt: skip
