"""From an opening as said to the desk's answer, by the size table that counts for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from quotes.said import SASH_FIELDS, SaidOpening
from sizing import lookup
from sizing.models import Revision
from sizing.resolver import Answer, Opening, OpeningError, read_opening, resolve
from sizing.resolver.lines import as_line
from sizing.table import Measure, SizeTable


@dataclass(frozen=True)
class Answered:
    """The answer to one opening, or the problems that stand in its way: {field: sentence}.

    `opening` is what could be read; with problems it lacks what could not. `answer` is None with
    problems: nothing is stored or ordered of it.
    """

    revision: Revision
    table: SizeTable
    said: SaidOpening
    opening: Opening
    answer: Answer | None
    problems: dict[str, str] = field(default_factory=dict)

    @cached_property
    def rest(self) -> Answer | None:
        """What the readable measures say by themselves, for the clerk who has the caller on the phone:
        worked out where it is shown, as schedules and papers never ask."""
        if not (self.problems and self.opening.lengths):
            return None
        return resolve(lookup.compiled(self.revision), [self.opening])[0]

    @property
    def sash_lacks(self) -> tuple[str, ...]:
        """What is missing of a sash that is described in part, by its field."""
        return lacking(self.said) if any(self.said.sash.values()) else ()

    @property
    def wanting(self) -> tuple[str, ...]:
        """What a special still lacks that its factory makes it by: codes of measures, "finish"."""
        if self.answer is None or self.answer.outcome != "special":
            return ()
        table, known, lacks = self.table, {*self.opening.lengths, *self.said.cannot}, []
        beside = [m.code for m in table.measures if m.kind == "length" and not m.sash]
        if self.answer.reason == "unequal_split" and known.isdisjoint(beside):
            # The two heights have nothing yet that they could be held against.
            lacks += beside[:1]
        weight = table.weight_measure
        if weight and weight.code not in known and self.opening.weight is None:
            lacks.append(weight.code)
        if len(table.finishes) > 1 and not self.said.finish:
            lacks.append("finish")
        return tuple(lacks)

    @property
    def nothing_said(self) -> bool:
        """Nothing but its place in the request is known: too early to ask or to name anything."""
        return not (self.said.measures or self.said.cannot or self.said.sash)


def answer_opening(said: SaidOpening, revision: Revision) -> Answered:
    """Resolve one opening against a revision. Never raises for what was typed."""
    (answered,) = answer_openings([said], revision)
    return answered


def answer_openings(many: Sequence[SaidOpening], revision: Revision) -> list[Answered]:
    """Resolve openings of one revision at once, in order. Never raises for what was typed."""
    table = lookup.table_of(revision)
    read = [_opening(said, table) for said in many]
    answers = iter(
        resolve(lookup.compiled(revision), [opening for opening, problems in read if not problems])
    )
    return [
        Answered(revision, table, said, opening, None if problems else next(answers), problems)
        for said, (opening, problems) in zip(many, read, strict=True)
    ]


def _opening(said: SaidOpening, table: SizeTable) -> tuple[Opening, dict[str, str]]:
    """The opening, or what of it could be read with the problems of the rest."""
    measures = _measures(said, table)
    try:
        return _read(said, table, measures), {}
    except OpeningError as error:
        readable = {code: text for code, text in measures.items() if code not in error.problems}
        finish = None if "finish" in error.problems else said.finish or None
        return read_opening(table, readable, finish=finish), error.problems


def askable(table: SizeTable) -> tuple[Measure, ...]:
    """Every measure a person may be asked for, the weight last where only the parts imply one."""
    weight = table.weight_measure
    return (
        table.measures if weight is None or weight in table.measures else (*table.measures, weight)
    )


def _measures(said: SaidOpening, table: SizeTable) -> dict[str, str | None]:
    """Each of the table's measures as said; None for one that nobody can take."""
    return {
        m.code: None if m.code in said.cannot else said.measures.get(m.code, "")
        for m in askable(table)
    }


def _read(said: SaidOpening, table: SizeTable, measures: dict[str, str | None]) -> Opening:
    # A sash still being described is no mistake: its weight waits until all of it is said.
    sash = None if lacking(said) else said.sash
    return read_opening(table, measures, finish=said.finish or None, sash=sash)


def lacking(said: SaidOpening) -> tuple[str, ...]:
    return tuple(name for name in SASH_FIELDS if not said.sash.get(name, "").strip())


def as_kept(answered: Answered) -> dict[str, Any]:
    """The answer as it is stored beside the opening: what the resolve command writes, without the id."""
    if answered.answer is None:
        text = " ".join(answered.problems.values())
        line = {"outcome": "error", "part_number": None, "row": None, "ask": None}
        return {**line, "reason": "bad_input", "certainty": 0.0, "text": text}
    line = as_line(answered.table, {}, answered.answer)
    del line["id"]
    return line
