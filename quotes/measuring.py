"""What a measuring sheet holds, and the friendly check of what somebody measured: nothing is decided anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Literal

from quotes.answer_sheet import draw_measures
from quotes.answering import Answered, askable
from quotes.drawing import Dimension, Drawing
from sizing.cautions import LEAD, LIFT, SPRING, Caution
from sizing.resolver.answer import Reading
from sizing.resolver.explain import split_in_words
from sizing.table import Measure, SizeTable

UNIT_WORDS = {"in": "inches", "mm": "millimetres", "lb": "pounds", "kg": "kilograms"}


@dataclass(frozen=True)
class Place:
    """One measure of the sheet: its letter in the drawing, how it is taken, what goes wrong, what was said."""

    letter: str
    measure: Measure
    unit: str
    slips: tuple[str, ...]
    said: str = ""

    @property
    def label(self) -> str:
        return self.measure.label

    @property
    def unit_words(self) -> str:
        return UNIT_WORDS[self.unit]


def places(table: SizeTable, said: Mapping[str, str] | None = None) -> list[Place]:
    """A table's measures in order, A, B, C …"""
    return [
        Place(
            letter,
            measure,
            (table.weight_unit if measure.kind == "weight" else table.unit).value,
            tuple(dict.fromkeys(s.name for s in table.slips if s.measure == measure.code)),
            (said or {}).get(measure.code, ""),
        )
        for letter, measure in zip(ascii_uppercase, askable(table), strict=False)
    ]


def sheet_drawing(table: SizeTable, answered: Answered | None = None) -> Drawing:
    """Where each measure is taken: lettered on a usual size of the family, or on what was measured."""
    read = answered.opening.lengths if answered else {}
    row = None if read else len(table.rows) // 2
    if read and answered.answer:
        row = answered.answer.row
    dims = {}
    for place in places(table, answered.said.measures if answered else None):
        measure = place.measure
        if measure.kind != "length":
            continue
        likely = None if row is None else table.rows[row][table.column_index(measure.column)]
        size = read.get(measure.code) or (None if read else likely)
        words = f"{place.letter}  {place.said}".strip()
        name = place.label if size else f"{place.letter}: {place.label}"
        dims[measure.code] = Dimension(name, words, size, likely)
    return draw_measures(table, dims)


def sheet_cautions(table: SizeTable) -> tuple[Caution, ...]:
    """What can hurt whoever measures: the springs, the sash where it is weighed, old paint."""
    return (SPRING, LIFT, LEAD) if table.weight_measure else (SPRING, LEAD)


State = Literal["nothing", "unreadable", "agrees", "again", "more", "special"]


@dataclass(frozen=True)
class Again:
    """A measure to take again, or for the first time: why, and how."""

    label: str
    why: str
    how_to: str


@dataclass(frozen=True)
class Check:
    """The check in a customer's words. It names no part: that is the desk's to confirm."""

    state: State
    headline: str
    words: str
    again: tuple[Again, ...] = ()


def check_of(answered: Answered) -> Check:
    """What the desk's own answer means for who measured."""
    if answered.answer is None:
        return Check("unreadable", "Some of it can't be read", "The boxes below say what to mend.")
    if answered.nothing_said:
        return Check("nothing", "Nothing is typed yet", "Type what you measured, then check it.")
    answer, table = answered.answer, answered.table
    doubtful = [r for r in answer.readings if r.verdict in ("slip", "misfit")]
    if answer.reason == "unequal_split":
        return _unequal(answered)
    alone = len(answer.readings) == 1
    asked = table.measure(answer.ask) if answer.outcome == "ask" and answer.ask else None
    if asked and answer.reason == "size" and (alone or not doubtful):
        return _one_more(asked, settled=False)
    if answer.reason in ("off_table", "low_certainty") or doubtful:
        return _disagree(table, doubtful or list(answer.readings), len(answer.readings))
    if asked:
        return _one_more(asked, settled=True)
    if answer.outcome == "special":
        return Check(
            "special",
            "Your measures agree",
            "What you need is not kept as a usual part; send it, and we quote it specially.",
        )
    words = "They fit one size of ours. Send them; we confirm before anything is made."
    if answer.ask == "finish":
        words = f"{words} Please choose a finish too."
    return Check("agrees", "Your measures agree", words)


def _unequal(answered: Answered) -> Check:
    table, split = answered.table, answered.answer.split
    sashes = [m for m in table.measures if m.sash and m.code in answered.opening.lengths]
    how = f" ({split_in_words(split, table.unit)})" if split and split.kind != "equal" else ""
    return Check(
        "special",
        "Your two sashes are not equal",
        f"That is made specially{how}. Measure both panes once more; if they stay as they are, send them.",
        tuple(Again(m.label, "", m.how_to) for m in sashes),
    )


def _one_more(measure: Measure, settled: bool) -> Check:
    return Check(
        "more",
        "One more measure would settle it",
        f"{'Your measures agree. ' if settled else ''}If you can't take it, send what you have.",
        (Again(measure.label, "", measure.how_to),),
    )


def _disagree(table: SizeTable, doubtful: Sequence[Reading], count: int) -> Check:
    """Name what does not fit with the rest of `count` readings, and how it is measured."""
    measures = [table.measure(reading.measure) for reading in doubtful]
    names = [measure.label[0].lower() + measure.label[1:] for measure in measures]
    listed = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
    if count == 1:
        headline = f"Your {listed} is no size of ours"
    elif len(names) == count:
        headline = f"Your {listed} don't agree"
    else:
        headline = f"Your {listed} {'does' if len(names) == 1 else 'do'}n't agree with the rest"
    return Check(
        "again",
        headline,
        "Please measure again like this. If it stays the same, send it all the same: we look into it.",
        tuple(
            Again(m.label, _why(reading, count), m.how_to)
            for m, reading in zip(measures, doubtful, strict=True)
        ),
    )


def _why(reading: Reading, count: int) -> str:
    """about 3/4 in short, as when only the visible glass is measured"""
    if reading.verdict == "slip":
        return reading.words.replace(", a usual slip: ", ", as when ")
    # Of one measure by itself the distance to the nearest size says nothing.
    return (
        reading.words.removesuffix(": does not fit")
        if reading.verdict == "misfit" and count > 1
        else ""
    )
