"""What an answer says of each measure, a line each: words and figures, nothing decided anew."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from quotes.answering import Answered
from sizing.lengths import Length, format_difference, format_length
from sizing.resolver.answer import Answer, Opening, Reading
from sizing.table import SizeTable
from sizing.weights import format_weight
from sizing.wording import gettext as _


@dataclass(frozen=True)
class Line:
    """One measure of the explanation: what was understood, what the row says, and the verdict."""

    label: str
    value: str
    row_value: str
    difference: str
    verdict: str
    words: str


def lines_of(answered: Answered) -> list[Line]:
    """The explanation, a measure each, the weight last; empty of what could not be read."""
    answer, opening, table = answered.answer, answered.opening, answered.table
    if answer is None:
        return []
    lines = [_line(reading, table) for reading in answer.readings]
    if opening.weight is not None:
        lines.append(_weight_line(answer, opening, table))
    return lines


def _line(reading: Reading, table: SizeTable) -> Line:
    unit = table.unit
    measure = table.measure(reading.measure)
    known = reading.row_value is not None
    return Line(
        label=measure.label,
        value=format_length(Length(reading.value), unit),
        row_value=format_length(Length(reading.row_value), unit) if known else "",
        difference=_signed(reading.difference, table) if known else "",
        verdict=reading.verdict,
        words=reading.words,
    )


def _weight_line(answer: Answer, opening: Opening, table: SizeTable) -> Line:
    part, unit = answer.part, table.weight_unit
    band, verdict, words = "", "unchecked", _("as given")
    if part and (part.weight_min or part.weight_max):
        low, high = (
            "" if w is None else format_weight(w, unit, places=2, mark=False)
            for w in (part.weight_min, part.weight_max)
        )
        band, verdict, words = f"{low} to {high}", "agrees", _("in its weight range")
        if not (part.weight_min or 0) <= opening.weight <= (part.weight_max or inf):
            words = _("just outside its weight range, by no more than a scale errs")
    elif answer.reason == "weight" and answer.outcome == "special":
        verdict, words = "misfit", _("in no one weight range of this size")
    if opening.weight_estimated:
        words = _("{words}, worked out from the glass").format(words=words)
        if opening.weight_error:
            words = _("{words}, give or take {weight}").format(
                words=words, weight=format_weight(opening.weight_error, unit)
            )
    label = table.weight_measure.label if table.weight_measure else _("Sash weight")
    return Line(label, format_weight(opening.weight, unit), band, "", verdict, words)


def _signed(difference: int, table: SizeTable) -> str:
    """A difference with its sign, without the unit that stands beside it."""
    if difference == 0:
        return "0"
    words = format_difference(Length(difference), table.unit).removesuffix(f" {table.unit}")
    if words.startswith("under "):
        return words
    words = words.removeprefix("about ")
    return f"{'+' if difference > 0 else '−'}{words}"
