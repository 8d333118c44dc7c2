"""The split of the sashes: both glass heights, and what every other measure should be beside them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.lengths import PER_INCH, Length
from sizing.resolver import noise
from sizing.resolver.answer import Opening, Reading, Split, Verdict
from sizing.resolver.compiled import CompiledTable
from sizing.resolver.curves import MeasureCurves, habits_of
from sizing.resolver.explain import in_words, readings


@dataclass(frozen=True)
class Heights:
    """Both glass heights; `told_by` is the measure (its code) that one of them was worked out from."""

    upper: Length
    lower: Length
    told_by: str = ""


def heights_of(compiled: CompiledTable, opening: Opening, unequal: bool) -> Heights | None:
    """Upper and lower glass as measured; of a split taken for `unequal`, a missing height is worked out
    from the first other measure that tells."""
    pair = compiled.pair
    if pair is None:
        return None
    upper, lower = (
        opening.lengths.get(compiled.measures[at].measure.code) for at in (pair.upper, pair.lower)
    )
    if upper is not None and lower is not None:
        return Heights(upper, lower)
    one = lower if upper is None else upper
    code = next((code for code in _beside(compiled) if code in opening.lengths), None)
    if one is None or code is None or not unequal:
        return None
    column = compiled.measures[compiled.index(code)].column
    told = _on_line(compiled, column, pair.column, opening.lengths[code])
    if told is None:
        return None
    rest = Length(round(2 * told[0]) - one)
    if rest <= 0:
        return None
    return Heights(rest, one, code) if upper is None else Heights(one, rest, code)


def _beside(compiled: CompiledTable) -> list[str]:
    """The length measures that are no glass, in the table's order."""
    column = compiled.sashes.column
    return [curves.measure.code for curves in compiled.measures if curves.column != column]


def _on_line(
    compiled: CompiledTable, given: int, wanted: int, at: float
) -> tuple[float, float] | None:
    """What column `wanted` is where column `given` is `at`, by the line through the rows, and its slope
    there; beyond the ends the end slope goes on. None where fewer than two sizes of it are made."""
    sizes = np.array(compiled.table.rows, dtype=float)
    # Rows that share a size are told apart by another column: the first of them speaks for it.
    x, first = np.unique(sizes[:, given], return_index=True)
    y = sizes[first, wanted]
    if len(x) < 2:
        return None
    place = int(np.clip(np.searchsorted(x, at), 1, len(x) - 1))
    slope = (y[place] - y[place - 1]) / (x[place] - x[place - 1])
    return float(y[place - 1] + slope * (at - x[place - 1])), float(slope)


def split_of(compiled: CompiledTable, heights: Heights | None) -> Split | None:
    """Named from the two heights alone: cottage when the upper is shorter, oriel when it is taller,
    equal when they differ by no more than readings do."""
    if heights is None:
        return None
    upper, lower, share = (
        heights.upper,
        heights.lower,
        heights.upper / (heights.upper + heights.lower),
    )
    sashes = (
        compiled.measures[at].measure for at in (compiled.sashes.upper, compiled.sashes.lower)
    )
    if abs(upper - lower) <= 3 * max(measure.tolerance for measure in sashes):
        return Split("equal", upper, lower, share)
    return Split("cottage" if upper < lower else "oriel", upper, lower, share)


def split_of_row(
    compiled: CompiledTable, opening: Opening, split: Split | None, row: int
) -> Split | None:
    """The split of a window whose size is settled: where a usual slip made its glass look unequal, equal.

    A height that no slip explains stays as measured, and so does the split.
    """
    if split is None or split.kind == "equal" or compiled.pair is None:
        return split
    sashes = {
        compiled.measures[at].measure.code for at in (compiled.pair.upper, compiled.pair.lower)
    }
    read = [one for one in readings(compiled, opening, row) if one.measure in sashes]
    if any(one.verdict == "misfit" for one in read):
        return split
    glass = compiled.table.rows[row][compiled.sashes.column]
    return Split("equal", glass, glass, 0.5)


def beside_heights(
    compiled: CompiledTable, opening: Opening, heights: Heights | None
) -> tuple[Reading, ...]:
    """Each length of an unequal split. The glass is as said; what is measured beside it has to be what
    both heights together make of it, by the relation that the rows of the table hold."""
    shown = readings(compiled, opening, None)
    if heights is None:
        return shown
    checked = set(_beside(compiled)) - {heights.told_by}
    return tuple(
        _beside_sum(compiled, reading, heights)
        if reading.measure in checked and reading.verdict == "unchecked"
        else reading
        for reading in shown
    )


def _beside_sum(compiled: CompiledTable, reading: Reading, heights: Heights) -> Reading:
    curves = compiled.measures[compiled.index(reading.measure)]
    half = (heights.upper + heights.lower) / 2
    told = _on_line(compiled, compiled.sashes.column, curves.column, half)
    if told is None:
        return reading
    size, slope = told
    miss = np.array([(reading.value - size) / noise.STEP])
    verdict, cause = _cause(compiled, curves, miss, slope)
    expected, unit = Length(round(size)), compiled.table.unit
    return in_words(curves.measure, unit, Length(reading.value), expected, verdict, cause)


def _cause(
    compiled: CompiledTable, curves: MeasureCurves, miss: np.ndarray, slope: float
) -> tuple[Verdict, str]:
    """The likeliest cause of a miss (steps) beside both heights: the reading's own, or one of the glass,
    where who slips on one sash slips on both."""
    glass = compiled.measures[compiled.sashes.upper]
    # The half sum of two readings errs by less than one of them, its measure by the slope times that.
    sd = float(np.hypot(np.hypot(curves.sd, curves.unsure), slope * glass.sd / np.sqrt(2)))
    own, theirs = (habits_of(compiled.table, c.measure) for c in (curves, glass))
    straight = 1 - sum(habit.share for habit in (*own, *theirs))
    causes: list[tuple[Verdict, str, float]] = [("agrees", "", straight * noise.tape(miss, sd)[0])]
    for habits, times in ((own, 1.0), (theirs, -slope)):
        for habit in habits:
            causes.append(("slip", habit.name, habit.density(miss, sd, times)[0]))
    whole = noise.misreading(compiled.table.unit)
    misread = sum(noise.normal(miss + side * whole, 1.5 * sd)[0] for side in (-1, 1)) / 2
    careless = noise.CARELESS * noise.normal(miss, 4 * sd)[0]
    anything = noise.ANYTHING * noise.STEP / (curves.span * PER_INCH)
    causes.append(("misfit", "", noise.MISREAD * misread + careless + anything))
    verdict, name, _density = max(causes, key=lambda cause: cause[2])
    return verdict, name
