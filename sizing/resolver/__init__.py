"""The resolver: from what was measured to one part, one question, or one reason for a special quote.

`compile_table` makes a size table ready once; `resolve` answers openings with their explanation;
`resolve_arrays` answers thousands at once as arrays, by the same rules and without words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sizing.cautions import cautions_for
from sizing.resolver import cells as offer
from sizing.resolver import decision, explain, far, noise
from sizing.resolver import split as sashes
from sizing.resolver.answer import Answer, Opening, Reason
from sizing.resolver.compiled import CompiledTable, Costs, Shares, compile_table, loosened
from sizing.resolver.decision import Sizes, decide_sizes
from sizing.resolver.reading import OpeningError, read_opening
from sizing.table import default_weight_measure

__all__ = [
    "Answer", "Arrays", "CompiledTable", "Costs", "Opening", "OpeningError", "Resolved", "Shares",
    "compile_table", "read_opening", "resolve", "resolve_arrays",
]  # fmt: skip


@dataclass(frozen=True)
class Arrays:
    """A batch of n openings.

    `lengths` (n, measures) in 1/320 mm, -1 where not known, in the order of the compiled table's
    measures; `cannot` alike, bool; `weight` and `error` (n,) nanograms as float64, nan for none (an
    error of nan takes the family's own); `finish` (n,) places in `compiled.offer.finishes`, -1 unsaid.
    """

    lengths: np.ndarray
    cannot: np.ndarray
    weight: np.ndarray
    error: np.ndarray
    estimated: np.ndarray
    can_weigh: np.ndarray
    finish: np.ndarray

    @classmethod
    def of_lengths(cls, lengths: np.ndarray) -> Arrays:
        """A batch of which nothing but lengths is known."""
        n = len(lengths)
        nothing, no = np.full(n, np.nan), np.zeros(n, dtype=bool)
        unsaid = np.full(n, offer.UNSAID)
        return cls(lengths, np.zeros(lengths.shape, bool), nothing, nothing, no, ~no, unsaid)


@dataclass(frozen=True)
class Resolved:
    """One line an opening: the size's decision, then the cell's (codes of `cells`; -1 if unsettled)."""

    sizes: Sizes
    cell: np.ndarray
    weight_class: np.ndarray
    part: np.ndarray


def resolve_arrays(compiled: CompiledTable, batch: Arrays) -> Resolved:
    """Resolve a batch. `part` holds places in `compiled.table.parts`, -1 where there is none."""
    lengths = batch.lengths
    readings = np.where(lengths < 0, -1, noise.steps(lengths)).astype(np.int32)
    sizes = decide_sizes(compiled, readings, batch.cannot)
    n = len(lengths)
    cell, weight_class, part = (np.full(n, -1, dtype=np.int32) for _ in range(3))
    settled = np.flatnonzero(sizes.choice == decision.PART)
    if len(settled) and compiled.table.parts:
        measure = compiled.table.weight_measure
        error = np.where(np.isnan(batch.error), measure.tolerance if measure else 0.0, batch.error)
        weighed = offer.Weighed(
            batch.weight[settled],
            error[settled],
            batch.estimated[settled],
            batch.can_weigh[settled],
        )
        cell[settled], weight_class[settled], part[settled] = offer.choose_parts(
            compiled.offer, sizes.row[settled], weighed, batch.finish[settled]
        )
    return Resolved(sizes, cell, weight_class, part)


def resolve(compiled: CompiledTable, openings: Sequence[Opening]) -> list[Answer]:
    """Resolve openings one answer each, in order, each with its explanation."""
    alike: dict[frozenset[str], list[int]] = {}
    for place, opening in enumerate(openings):
        alike.setdefault(opening.about, []).append(place)
    answers: dict[int, Answer] = {}
    for about, places in alike.items():
        some = [openings[place] for place in places]
        answers |= zip(places, _resolve_alike(compiled, about, some), strict=True)
    return [answers[place] for place in range(len(openings))]


def _resolve_alike(
    compiled: CompiledTable, about: frozenset[str], openings: Sequence[Opening]
) -> list[Answer]:
    """Resolve openings of which the same lengths are said as "about"."""
    table = loosened(compiled, about) if about else compiled
    found = resolve_arrays(table, _arrays(table, openings))
    if about:
        _measure_first(compiled, about, openings, found.sizes)
    _unit_first(compiled, openings, found.sizes)
    return [_answer(table, opening, found, i) for i, opening in enumerate(openings)]


def _measure_first(
    compiled: CompiledTable, about: frozenset[str], openings: Sequence[Opening], sizes: Sizes
) -> None:
    """Nothing is made by an "about": where what was measured does not come to the same part without it,
    ask for it, measured. Every number of a special is one that its factory cuts by."""
    measured = [
        replace(one, lengths={c: length for c, length in one.lengths.items() if c not in about})
        for one in openings
    ]
    alone = resolve_arrays(compiled, _arrays(compiled, measured)).sizes
    same = (
        (sizes.choice == decision.PART) & (alone.choice == decision.PART) & (alone.row == sizes.row)
    )
    again = (sizes.choice != decision.ASK) & ~same
    sizes.choice[again] = decision.ASK
    sizes.ask[again] = min(compiled.index(code) for code in about)


def _unit_first(compiled: CompiledTable, openings: Sequence[Opening], sizes: Sizes) -> None:
    """Where no size is settled, a number that looks to be in the other unit is asked about before another
    measure is taken, or its factory asked for what nobody wants."""
    for i in np.flatnonzero(sizes.choice != decision.PART).tolist():
        doubted = far.doubted_units(compiled, openings[i])
        if doubted:
            sizes.choice[i], sizes.ask[i] = decision.ASK, doubted[0]


def _arrays(compiled: CompiledTable, openings: Sequence[Opening]) -> Arrays:
    codes = [curves.measure.code for curves in compiled.measures]
    weight_code = compiled.table.weight_measure
    nan = float("nan")
    return Arrays(
        lengths=np.array(
            [[o.lengths.get(code, -1) for code in codes] for o in openings], dtype=np.int64
        ).reshape(len(openings), len(codes)),
        cannot=np.array(
            [[code in o.cannot for code in codes] for o in openings], dtype=bool
        ).reshape(len(openings), len(codes)),
        weight=np.array([nan if o.weight is None else float(o.weight) for o in openings]),
        error=np.array(
            [nan if o.weight_error is None else float(o.weight_error) for o in openings]
        ),
        estimated=np.array([o.weight_estimated for o in openings], dtype=bool),
        can_weigh=np.array(
            [weight_code is not None and weight_code.code not in o.cannot for o in openings],
            dtype=bool,
        ),
        finish=np.array([compiled.offer.finish_index(o.finish) for o in openings], dtype=np.int32),
    )


def _answer(compiled: CompiledTable, opening: Opening, found: Resolved, i: int) -> Answer:
    sizes = found.sizes
    choice = int(sizes.choice[i])
    on_table, uneven, off = (float(share) for share in sizes.shares[i])
    heights = sashes.heights_of(compiled, opening, uneven > 0.5)
    split = sashes.split_of(compiled, heights)
    if choice == decision.PART:
        split = sashes.split_of_row(compiled, opening, split, int(sizes.row[i]))
    kept: dict[str, Any] = {
        "split": split,
        "shares": (on_table, uneven, off),
        "cautions": tuple(
            caution.code
            for caution in cautions_for(
                sprung=compiled.table.is_sprung,
                sash_weight=opening.weight,
                weight_error=opening.weight_error,
                split=split.kind if split else None,
            )
        ),
    }
    if choice == decision.PART:
        return _settled(compiled, opening, found, i, kept)
    if choice == decision.ASK:
        return _asked(compiled, opening, sizes, i, kept)
    return _special(compiled, opening, sizes, i, heights, kept)


def _asked(
    compiled: CompiledTable, opening: Opening, sizes: Sizes, i: int, kept: dict[str, Any]
) -> Answer:
    """The size is not settled: the one measure worth asking for, or the unit of one that is in doubt."""
    row, certainty = int(sizes.row[i]), float(sizes.row_certainty[i])
    shown = explain.readings(compiled, opening, row if certainty >= 0.5 else None)
    at = int(sizes.ask[i])
    measure = compiled.measures[at].measure
    doubted = far.doubted_units(compiled, opening)
    if at in doubted:
        text = far.unit_question(compiled, opening, doubted)
        codes = tuple(compiled.measures[place].measure.code for place in doubted)
        return Answer(
            "ask", "unit", certainty, text, ask=measure.code, doubted=codes, readings=shown, **kept
        )
    text = explain.question_text(compiled, measure, sizes.rows[i])
    if measure.code in opening.about:
        text = f"Nothing is ordered by an “about”. {text}"
    return Answer("ask", "size", certainty, text, ask=measure.code, readings=shown, **kept)


def _special(
    compiled: CompiledTable,
    opening: Opening,
    sizes: Sizes,
    i: int,
    heights: sashes.Heights | None,
    kept: dict[str, Any],
) -> Answer:
    """No size of the table: why, and how what was measured stands to the nearest or the likeliest."""
    on_table, uneven, off = kept["shares"]
    reason: Reason = "unequal_split" if uneven >= max(on_table, off) else "off_table"
    sure, rows = max(uneven, off), list[int]()
    if on_table > uneven + off:
        reason, sure = "low_certainty", float(sizes.row_certainty[i])
    if reason == "off_table":
        rows = explain.nearest_rows(compiled, opening)
        shown = explain.beside_nearest(compiled, opening, rows[0])
    elif reason == "unequal_split":
        shown = sashes.beside_heights(compiled, opening, heights)
    else:
        rows = explain.likeliest_rows(compiled, sizes.rows[i])
        shown = explain.readings(compiled, opening, rows[0])
    text = explain.special_size_text(compiled, reason, kept["split"], rows, shown)
    return Answer("special", reason, sure, text, readings=shown, **kept)


def _settled(
    compiled: CompiledTable, opening: Opening, found: Resolved, i: int, kept: dict[str, Any]
) -> Answer:
    """The size is settled: the part, or what the weight class or the finish still needs."""
    table = compiled.table
    row, place, code = int(found.sizes.row[i]), int(found.part[i]), int(found.cell[i])
    certainty = float(found.sizes.row_certainty[i])
    shown = explain.readings(compiled, opening, row)
    class_at = int(found.weight_class[i])
    weight_class = compiled.offer.classes[class_at] if class_at >= 0 else None
    kept |= {"row": row, "readings": shown}
    if code == offer.ASK_WEIGHT:
        measure = table.weight_measure or default_weight_measure(table.weight_unit)
        text = explain.weight_question(measure)
        return Answer("ask", "weight", certainty, text, ask=measure.code, **kept)
    if code == offer.ASK_FINISH:
        text = explain.finish_question(table, row, weight_class, opening.finish)
        return Answer("ask", "finish", certainty, text, ask="finish", **kept)
    if code == offer.SPECIAL_WEIGHT:
        text = explain.weight_text(table, row, opening.weight)
        return Answer("special", "weight", certainty, text, **kept)
    if code == offer.PART:
        part = table.parts[place]
        text = explain.part_text(table, part, shown)
        reason: Reason = "equal_split" if compiled.pair else "in_table"
        return Answer("part", reason, certainty, text, part=part, **kept)
    offered = tuple(p for p in table.parts_of_row(row) if p.part_number)
    # A class for another weight is no way out, unless this one is not made at all.
    offered = tuple(p for p in offered if p.weight_class == weight_class) or offered
    text = explain.not_offered_text(table, row, weight_class, opening.finish, offered)
    return Answer("special", "not_offered", certainty, text, offered=offered, **kept)
