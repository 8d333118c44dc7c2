"""How a caller's reading of a measure misses what it measures: error curves of one measure, and of both sashes together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sizing.lengths import PER_INCH
from sizing.resolver import noise
from sizing.resolver.noise import Curve, Habit
from sizing.table import Measure, SizeTable


@dataclass(frozen=True)
class MeasureCurves:
    """One length measure: its column, its error curves against rows and against cells, and over how
    many inches a number that says nothing may lie (`span`). `unsure` is by how much (a standard
    deviation, steps) a size between rows may leave the line through them.

    `row` = `row_fair` (no blunder) + `row_blunder`; the same for cells. `uneven` is the density of
    a sash's reading less half the glass sum when the split is unequal; of another measure, as of cells.
    """

    measure: Measure
    column: int
    sd: float
    unsure: float
    span: float
    row: Curve
    row_fair: Curve
    row_blunder: Curve
    cell: Curve
    cell_fair: Curve
    cell_blunder: Curve
    uneven: Curve


@dataclass(frozen=True)
class SashPair:
    """Upper and lower glass read by one caller: curves of their sum and of their difference."""

    upper: int
    lower: int
    column: int
    row_sum: Curve
    cell_sum: Curve
    uneven_sum: Curve
    even_difference: Curve
    uneven_difference: Curve


def half_differences(glass: np.ndarray) -> np.ndarray:
    """Density of (upper - lower) / 2 of unequal splits at -n .. n steps.

    Splits differ by at least about an inch, seldom by less than two and a half; half of them by up
    to a quarter of the two heights' sum (near 60/40), the rest by up to a half. The desk's own
    judgement, no source.
    """
    total = 2 * float(np.median(glass))
    reach = int(total / 4) + 1
    difference = 2 * np.abs(noise.axis(reach))
    rising = np.interp(difference, [32, 64, 160], [0.0, 0.3, 1.0])
    density = rising * (0.5 * (difference <= total / 4) / (total / 4) + 0.5 / (total / 2))
    if not density.sum():
        return np.ones(1)
    return density / density.sum()


def measure_curves(
    table: SizeTable,
    m: Measure,
    column: int,
    rows: np.ndarray,
    unsure: float,
    half_differences: np.ndarray,
) -> MeasureCurves:
    """`rows` as `CompiledTable` has them, `unsure` as `MeasureCurves`."""
    sd = m.tolerance / noise.STEP
    habits = habits_of(table, m)
    span = 2.0 * float(np.ptp(rows[column])) + 640
    x = noise.axis()
    fair, blunder = [], []
    for error in (sd, float(np.hypot(sd, unsure))):
        fair.append(noise.clean_and_slipped(x, error, habits))
        blunder.append(noise.blunders(x, error, habits, table.unit, span))
    uneven = fair[1] + blunder[1]
    if m.sash is not None:
        uneven = np.convolve(half_differences, uneven)
    return MeasureCurves(
        measure=m,
        column=column,
        sd=sd,
        unsure=unsure,
        span=span * noise.STEP / PER_INCH,
        row=noise.curve(fair[0] + blunder[0]),
        row_fair=noise.curve(fair[0]),
        row_blunder=noise.curve(blunder[0]),
        cell=noise.curve(fair[1] + blunder[1]),
        cell_fair=noise.curve(fair[1]),
        cell_blunder=noise.curve(blunder[1]),
        uneven=noise.curve(uneven),
    )


def habits_of(table: SizeTable, m: Measure) -> list[Habit]:
    """The slips of a measure; of a sash measure, those of either sash: one caller measures both alike."""
    named = (
        {m.code}
        if m.sash is None
        else {other.code for other in table.measures if other.column == m.column and other.sash}
    )
    own = [s for s in table.slips if s.measure == m.code]
    known = {s.name for s in own}
    own += [s for s in table.slips if s.measure in named - {m.code} and s.name not in known]
    return [Habit(s.name, s.shift_min / noise.STEP, s.shift_max / noise.STEP, s.share) for s in own]


def pair_of(
    table: SizeTable,
    curves: Sequence[MeasureCurves],
    upper: int,
    lower: int,
    half_differences: np.ndarray,
) -> SashPair:
    """`upper` and `lower` are the places of the two sashes' glass among the curves.

    Sum and difference of the two glass readings are independent, and a caller who slips on one
    slips on both: so the slip moves the sum twice and leaves the difference alone.
    """
    habits, whole = habits_of(table, curves[upper].measure), noise.misreading(table.unit)
    sd = float(np.hypot(curves[upper].sd, curves[lower].sd))
    x = noise.axis(2 * noise.REACH_STEPS)
    # Two heights measured the same wrong way still differ by a little more than the tape's error.
    even = noise.tape(x, sd, 4)
    difference = np.zeros(2 * len(half_differences) - 1)
    difference[::2] = half_differences
    cell_sd = float(np.hypot(sd, 2 * curves[upper].unsure))
    cell_sum = noise.clean_and_slipped(x, cell_sd, habits, 2)
    misread = sum(noise.clean_and_slipped(x + side * whole, cell_sd, habits, 2) for side in (-1, 1))
    return SashPair(
        upper=upper,
        lower=lower,
        column=curves[upper].column,
        row_sum=noise.curve(noise.clean_and_slipped(x, sd, habits, 2)),
        cell_sum=noise.curve(cell_sum),
        uneven_sum=noise.curve(cell_sum + noise.MISREAD * misread),
        even_difference=noise.curve(even),
        uneven_difference=noise.curve(np.convolve(difference, noise.normal(noise.axis(128), sd))),
    )
