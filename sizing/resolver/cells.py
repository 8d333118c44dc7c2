"""From a settled row to one part: the weight class that the sash falls in, and the finish.

A weight inside one band decides. In a gap between bands its own error may still settle it; if not, the
opening is special. Where two bands share just their edge, the lighter class holds up to and including it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.table import SizeTable

PART, ASK_WEIGHT, ASK_FINISH, SPECIAL_WEIGHT, NOT_OFFERED = range(5)
UNSAID, UNKNOWN = -1, -2


@dataclass(frozen=True, eq=False)
class Cells:
    """`low`, `high` (rows, classes) nanograms; `part` (rows, classes, finishes) places in the
    table's parts, -1 not offered; `present` (rows, classes) says which classes a row has at all."""

    classes: tuple[str, ...]
    finishes: tuple[str, ...]
    low: np.ndarray
    high: np.ndarray
    present: np.ndarray
    part: np.ndarray

    def finish_index(self, said: str | None) -> int:
        """Place of a finish, whatever its case; UNSAID for none, UNKNOWN for one the family lacks."""
        if len(self.finishes) == 1 and not (said and said.strip()):
            return 0
        if said is None or not said.strip():
            return UNSAID
        folded = [" ".join(f.casefold().split()) for f in self.finishes]
        wanted = " ".join(said.casefold().split())
        return folded.index(wanted) if wanted in folded else UNKNOWN


def compile_cells(table: SizeTable) -> Cells:
    classes, finishes = table.weight_classes, table.finishes
    shape = (len(table.rows), len(classes))
    low, high = np.full(shape, np.inf), np.full(shape, -np.inf)
    present = np.zeros(shape, dtype=bool)
    part = np.full((*shape, len(finishes)), -1, dtype=np.int32)
    for place, p in enumerate(table.parts):
        k = classes.index(p.weight_class)
        present[p.row, k] = True
        low[p.row, k] = 0 if p.weight_min is None else p.weight_min
        high[p.row, k] = np.inf if p.weight_max is None else p.weight_max
        if p.part_number:
            part[p.row, k, finishes.index(p.finish)] = place
    return Cells(classes, finishes, low, high, present, part)


@dataclass(frozen=True)
class Weighed:
    """What is known of the sashes of a batch: each array is (n,); `weight` nan where not known."""

    weight: np.ndarray
    error: np.ndarray
    estimated: np.ndarray
    can_weigh: np.ndarray


def choose_parts(
    cells: Cells, row: np.ndarray, weighed: Weighed, finish: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(code, class or -1, place of the part or -1), each (n,), for openings whose row is settled."""
    n = len(row)
    weight_class = _classes(cells, row, weighed)
    code = np.full(n, PART, dtype=np.int8)
    part = np.full(n, -1, dtype=np.int32)

    known = finish >= 0
    # Whatever the class turns out to be: a finish this row has in no class needs no further question.
    nowhere = np.ones(n, dtype=bool)
    offered = cells.part[row] >= 0
    nowhere[known] = ~offered[np.flatnonzero(known), :, finish[known]].any(axis=1)
    nowhere[~known] = ~offered[~known].any(axis=(1, 2))
    settled = weight_class >= 0
    ready = np.flatnonzero(settled & known)
    part[ready] = cells.part[row[ready], weight_class[ready], finish[ready]]

    code[settled & known & (part < 0)] = NOT_OFFERED
    code[settled & ~known] = ASK_FINISH
    code[weight_class == _ASK] = ASK_WEIGHT
    code[weight_class == _NO_CLASS] = SPECIAL_WEIGHT
    code[finish == UNKNOWN] = ASK_FINISH
    code[nowhere] = NOT_OFFERED
    return code, np.where(settled, weight_class, -1), part


_ASK, _NO_CLASS = -1, -2


def _classes(cells: Cells, row: np.ndarray, weighed: Weighed) -> np.ndarray:
    """The class of each opening, `_ASK` where a weight would tell, `_NO_CLASS` where none can."""
    low, high, present = cells.low[row], cells.high[row], cells.present[row]
    weight = weighed.weight[:, None]
    known = ~np.isnan(weighed.weight)
    inside = (weight >= low) & (weight <= high)
    # A shared edge belongs to the lighter class.
    shared = (weight == low) & ((weight == high) & present).any(axis=1)[:, None]
    inside &= ~shared
    reach = np.where(weighed.estimated, 2.0, 1.0) * weighed.error
    near = (weight + reach[:, None] >= low) & (weight - reach[:, None] <= high)

    found = np.full(len(row), _NO_CLASS, dtype=np.int32)
    # A scale's error may settle a gap; an estimate has to lie within one class with all of its error.
    whole = (weight - reach[:, None] >= low) & (weight + reach[:, None] <= high)
    near = np.where(weighed.estimated[:, None], whole, near)
    by_error = known & (near.sum(axis=1) == 1)
    found[by_error] = near[by_error].argmax(axis=1)
    on_scale = known & ~weighed.estimated & (inside.sum(axis=1) == 1)
    found[on_scale] = inside[on_scale].argmax(axis=1)
    # An estimate that could belong to two classes is worth one trip to the scale.
    open_ = (~known | (weighed.estimated & ~by_error)) & weighed.can_weigh
    found[open_] = _ASK
    single = ~known & (present.sum(axis=1) == 1)
    found[single] = present[single].argmax(axis=1)
    return found
