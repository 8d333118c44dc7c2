"""Bayes over the explanations of an opening: each row, a size off the table, an unequal split.

Weights are prior times likelihood, not yet divided by their sum. All arrays are float32 with one line
an opening; a batch holds openings of which the same measures are known.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.resolver.compiled import CompiledTable, MeasureCurves, SashPair


@dataclass(frozen=True)
class Weights:
    """`rows` (n, rows), `off` and `uneven` (n, cells)."""

    rows: np.ndarray
    off: np.ndarray
    uneven: np.ndarray

    def shares(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """P(some row), P(off the table), P(unequal split): each (n,), summing to 1."""
        parts = [w.sum(axis=1, dtype=np.float64) for w in (self.rows, self.off, self.uneven)]
        total = sum(parts)
        return parts[0] / total, parts[1] / total, parts[2] / total


def weigh(compiled: CompiledTable, given: tuple[int, ...], readings: np.ndarray) -> Weights:
    """Weigh a batch. `readings` is (n, len(given)) int32 in steps of 1/64 in; `given` says of which
    measures, as places in `compiled.measures`, in rising order."""
    n = len(readings)
    rows = np.repeat(compiled.row_prior[None, :], n, axis=0)
    others = np.ones((n, compiled.cells.shape[1]), dtype=np.float32)
    pair = compiled.pair
    both = pair is not None and pair.upper in given and pair.lower in given
    sash = None
    for place, index in enumerate(given):
        curves, reading = compiled.measures[index], readings[:, place : place + 1]
        if pair is not None and index in (pair.upper, pair.lower):
            if not both:
                sash = (curves, reading)
                rows *= curves.row.at(reading - compiled.rows[curves.column])
            continue
        rows *= curves.row.at(reading - compiled.rows[curves.column])
        others *= curves.cell.at(reading - compiled.cells[curves.column])
    if pair is None:
        return Weights(rows, others * compiled.off_prior, np.zeros((n, 1), dtype=np.float32))
    off, uneven = others * compiled.off_prior, others * compiled.uneven_prior
    glass = compiled.cells[pair.column]
    if both:
        upper = readings[:, given.index(pair.upper)][:, None]
        lower = readings[:, given.index(pair.lower)][:, None]
        rows *= even_rows(compiled, pair, upper, lower, compiled.rows[pair.column])
        off_fit, uneven_fit = both_in_cells(compiled, pair, upper, lower, glass)
        off *= off_fit
        uneven *= uneven_fit
    elif sash is not None:
        curves, reading = sash
        miss = reading - glass
        off *= curves.cell.at(miss)
        uneven *= curves.uneven.at(miss)
    return Weights(rows, off, uneven)


def even_rows(
    compiled: CompiledTable, pair: SashPair, upper: np.ndarray, lower: np.ndarray, glass: np.ndarray
) -> np.ndarray:
    """Density of both glass readings at an equal split of `glass`; arguments broadcast together."""
    first, second = compiled.measures[pair.upper], compiled.measures[pair.lower]
    fair = pair.even_difference.at(upper - lower) * pair.row_sum.at(upper + lower - 2 * glass)
    return 2 * fair + _blundered(
        (first.row_fair, first.row_blunder, upper - glass),
        (second.row_fair, second.row_blunder, lower - glass),
    )


def both_in_cells(
    compiled: CompiledTable, pair: SashPair, upper: np.ndarray, lower: np.ndarray, glass: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """The same for a size off the table, and for an unequal split whose half sum is `glass`."""
    first, second = compiled.measures[pair.upper], compiled.measures[pair.lower]
    away = upper + lower - 2 * glass
    off = 2 * pair.even_difference.at(upper - lower) * pair.cell_sum.at(away) + _blundered(
        (first.cell_fair, first.cell_blunder, upper - glass),
        (second.cell_fair, second.cell_blunder, lower - glass),
    )
    uneven = 2 * pair.uneven_difference.at(upper - lower) * pair.uneven_sum.at(away)
    uneven += _uneven_blundered(first, second, upper - glass, lower - glass)
    return off, uneven


def _blundered(first: tuple, second: tuple) -> np.ndarray:
    """At least one of two readings a blunder; each argument is (fair, blunder, miss)."""
    fair_a, blunder_a, a = first
    fair_b, blunder_b, b = second
    blunder_at_b = blunder_b.at(b)
    return blunder_a.at(a) * (fair_b.at(b) + blunder_at_b) + fair_a.at(a) * blunder_at_b


def _uneven_blundered(
    first: MeasureCurves, second: MeasureCurves, a: np.ndarray, b: np.ndarray
) -> np.ndarray:
    """With an unequal split a number out of nowhere on one sash leaves the other as it is."""
    anything = float(first.row_blunder.values[0])
    return anything * (first.uneven.at(a) + second.uneven.at(b))
