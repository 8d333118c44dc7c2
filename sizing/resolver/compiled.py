"""A size table made ready for weighing: rows, the sizes between and beyond them, and their priors.

The sizes that are not in the table are laid out as cells along the line through the rows. Between two
rows each column is interpolated; beyond the ends the end slope goes on. If the rows hold one exact
relation between columns the interpolation is exact; if not, what it misses by at the rows themselves
is added to the reading error there, so an irregular table trusts its own arithmetic less.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from sizing.about import REACH
from sizing.lengths import Length
from sizing.resolver import noise
from sizing.resolver.cells import Cells, compile_cells
from sizing.resolver.curves import (
    MeasureCurves,
    SashPair,
    half_differences,
    measure_curves,
    pair_of,
)
from sizing.table import Measure, SizeTable

# Of the sizes off the table, this share is so far off that only its own numbers tell.
FAR = 0.05
# Cells of a table at most, and answers that a question is weighed over: a tolerance typed far too small
# must not lay out millions of them. What a coarser cell does not know is part of its error.
FINEST = 4000


@dataclass(frozen=True)
class Costs:
    """What each mistake costs, in questions."""

    wrong: float = 100.0
    special: float = 8.0
    question: float = 1.0


@dataclass(frozen=True)
class Shares:
    """How openings fall out before anything is measured."""

    on_table: float = 0.80
    unequal: float = 0.12
    off_table: float = 0.08


@dataclass(frozen=True, eq=False)
class CompiledTable:
    """`rows` and `cells` are (columns, count) arrays in steps of 1/64 in; priors sum to their shares."""

    table: SizeTable
    costs: Costs
    rows: np.ndarray
    cells: np.ndarray
    row_prior: np.ndarray
    off_prior: np.ndarray
    uneven_prior: np.ndarray
    far_prior: float
    measures: tuple[MeasureCurves, ...]
    pair: SashPair | None
    offer: Cells

    @property
    def sashes(self) -> SashPair:
        """The pair of a table that has one; ValueError where upper and lower glass are not measured."""
        if self.pair is None:
            raise ValueError(f"{self.table.code} measures no pair of sashes.")
        return self.pair

    def index(self, code: str) -> int:
        """Place of a length measure among `measures`; KeyError when there is none of that code."""
        for i, curves in enumerate(self.measures):
            if curves.measure.code == code:
                return i
        raise KeyError(code)


def compile_table(
    table: SizeTable,
    costs: Costs | None = None,
    shares: Shares | None = None,
    sold: Sequence[int] | None = None,
) -> CompiledTable:
    """Make a table ready. `sold` (pieces sold of each row) leans the prior on what the desk sells."""
    costs, shares = costs or Costs(), shares or Shares()
    placed = [
        (m, table.column_index(m.column))
        for m in table.measures
        if m.kind == "length" and m.column is not None
    ]
    rows = noise.steps(np.array(table.rows).T)
    sashes = _sashes(placed)
    reference = placed[sashes[0]][1] if sashes else 0

    sd = _reading_errors(placed, len(rows))
    # A workbook may list its sizes from the largest down; what lies between two of them is between neighbours.
    rising = rows[:, sorted(range(len(table.rows)), key=table.rows.__getitem__)]
    cells, size = _cells(rising, sd, reference)
    # Unequal splits come in openings of any height, but half of them stand where a row's opening is.
    cells = np.hstack([cells, rows])
    between = np.concatenate([size, np.zeros(rows.shape[1])])
    at_rows = np.concatenate([np.zeros(len(size)), np.ones(rows.shape[1])])
    unsure = _interpolation_error(rising, cells[:, : len(size)])

    uneven_share = shares.unequal if sashes else 0.0
    rest = shares.on_table + shares.off_table + uneven_share
    halves = half_differences(rows[reference])
    curves = tuple(
        measure_curves(table, m, column, rows, unsure[column], halves) for m, column in placed
    )
    pair = pair_of(table, curves, *sashes, halves) if sashes else None
    return CompiledTable(
        table=table,
        costs=costs,
        rows=rows,
        cells=cells,
        row_prior=(_row_prior(len(table.rows), sold) * shares.on_table / rest).astype(np.float32),
        off_prior=_scaled(
            between * _clear_of_rows(rows, cells, sd), (1 - FAR) * shares.off_table / rest
        ),
        uneven_prior=_scaled(between, uneven_share / rest / 2)
        + _scaled(at_rows, uneven_share / rest / 2),
        far_prior=FAR * shares.off_table / rest,
        measures=curves,
        pair=pair,
        offer=compile_cells(table),
    )


@lru_cache(maxsize=64)
def loosened(compiled: CompiledTable, about: frozenset[str]) -> CompiledTable:
    """The table for openings of which these lengths are said as "about": they may miss by more, and two
    in three lie within half of what such a number reaches. Its sizes and their priors stay as they are."""
    table, pair = compiled.table, compiled.pair
    wide = Length(REACH[table.unit] // 2)
    halves = half_differences(compiled.rows[pair.column if pair else 0])
    curves = tuple(
        one
        if one.measure.code not in about
        else measure_curves(
            table,
            replace(one.measure, tolerance=max(one.measure.tolerance, wide)),
            one.column,
            compiled.rows,
            one.unsure,
            halves,
        )
        for one in compiled.measures
    )
    if pair:
        pair = pair_of(table, curves, pair.upper, pair.lower, halves)
    return replace(compiled, measures=curves, pair=pair)


def _sashes(placed: Sequence[tuple[Measure, int]]) -> tuple[int, int] | None:
    """Places of the upper and the lower sash's glass, where both are measured against one column."""
    found = {m.sash: i for i, (m, _) in reversed(list(enumerate(placed)))}
    upper, lower = found.get("upper"), found.get("lower")
    if upper is None or lower is None or placed[upper][1] != placed[lower][1]:
        return None
    return upper, lower


def _reading_errors(placed: Sequence[tuple[Measure, int]], columns: int) -> np.ndarray:
    """Per column the smallest tolerance (steps) of what is measured against it; an eighth of an inch where nothing is."""
    sd = np.full(columns, np.inf)
    for m, column in placed:
        sd[column] = min(sd[column], m.tolerance / noise.STEP)
    sd[np.isinf(sd)] = 8.0
    return sd


def _row_prior(count: int, sold: Sequence[int] | None) -> np.ndarray:
    weights = np.ones(count) if sold is None else 1.0 + np.asarray(sold, dtype=float)
    # Half the weight stays even: what sold before hints, it never rules a size out.
    return 0.5 / count + 0.5 * weights / weights.sum()


def _scaled(weights: np.ndarray, total: float) -> np.ndarray:
    whole = weights.sum()
    return (weights * (total / whole) if whole else weights).astype(np.float32)


def _cells(rows: np.ndarray, sd: np.ndarray, reference: int) -> tuple[np.ndarray, np.ndarray]:
    """Cells (columns, count) in steps and each one's size along the reference column; `rows` rise.

    No column moves by more than two reading errors from one cell to the next, as far as `FINEST` lets it.
    """
    points = rows.astype(float)
    if points.shape[1] == 1:
        # A single row gives no slope: sizes near it are taken to keep its proportions.
        points = np.hstack([points * 0.98, points * 1.02])
    gaps = np.diff(points, axis=1)
    whole = points[:, -1] - points[:, 0]
    beyond = max(0.15 * whole[reference], 2 * float(np.mean(gaps[reference])))
    low_slope, high_slope = (gaps[:, end] / max(gaps[reference, end], 1.0) for end in (0, -1))
    low = min(beyond, 0.8 * points[reference, 0])
    line = np.hstack(
        [
            (points[:, 0] - low * low_slope)[:, None],
            points,
            (points[:, -1] + beyond * high_slope)[:, None],
        ]
    )
    runs = np.diff(line, axis=1)
    wanted = np.max(np.abs(runs) / (2 * sd[:, None]), axis=0)
    counts = np.maximum(np.ceil(wanted / max(1.0, wanted.sum() / FINEST)), 1).astype(int)
    found, sizes = [], []
    for i, count in enumerate(counts):
        run = runs[:, i]
        places = (np.arange(count) + 0.5) / count
        found.append(line[:, i][:, None] + run[:, None] * places[None, :])
        sizes.append(np.full(count, abs(run[reference]) / count))
    return np.rint(np.hstack(found)).astype(np.int32), np.concatenate(sizes)


def _interpolation_error(rows: np.ndarray, cells: np.ndarray) -> np.ndarray:
    """Per column, one standard deviation (steps) of what the cells do not know of a true size; `rows` rise.

    Two parts: the width of a cell, and by how much the rows themselves leave the straight line
    between their neighbours. The first column is the line's own scale and leaves it nowhere.
    """
    width = np.median(np.abs(np.diff(cells, axis=1)), axis=1) / np.sqrt(12)
    bend = np.zeros(len(rows))
    if rows.shape[1] >= 3:
        scale = rows[0].astype(float)
        share = (scale[1:-1] - scale[:-2]) / np.maximum(scale[2:] - scale[:-2], 1)
        for c in range(1, len(rows)):
            between = rows[c, :-2] + share * (rows[c, 2:] - rows[c, :-2])
            bend[c] = np.sqrt(np.mean((rows[c, 1:-1] - between) ** 2)) / 2
    bend[bend < 1.0] = 0.0
    return np.hypot(width, bend)


def _clear_of_rows(rows: np.ndarray, cells: np.ndarray, sd: np.ndarray) -> np.ndarray:
    """0 within three reading errors of a row in every column, rising to 1 at six: a size that close to
    a row takes the row's part."""
    away = np.full(cells.shape[1], np.inf)
    for r in range(rows.shape[1]):
        away = np.minimum(away, np.max(np.abs(cells - rows[:, r : r + 1]) / sd[:, None], axis=0))
    return np.clip((away - 3) / 3, 0, 1)
