"""An opening as papers show it: each measure as said and understood, how it fits, and the drawing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from quotes.answer_drawing import draw_as_given
from quotes.answer_sheet import AnswerSheet
from quotes.answering import Answered, answer_opening, answer_openings
from quotes.documents.content import MeasureLine, OpeningSheet
from quotes.lists.requests import said_opening
from quotes.models import Opening, QuoteLine
from sizing.cautions import Caution
from sizing.lengths import Unit, format_length
from sizing.resolver.answer import Reading
from sizing.table import SizeTable, said_in
from sizing.weights import format_weight
from sizing.wording import gettext as _
from sizing.wording import language


def openings_of(lines: Iterable[QuoteLine]) -> list[Opening]:
    """The openings that these lines are for, each once, as they stand in their request."""
    found = {opening.pk: opening for line in lines for opening in line.openings.all()}
    return sorted(found.values(), key=lambda opening: opening.position)


def answers_of(openings: Sequence[Opening]) -> dict[int, Answered]:
    """{opening's key: what it comes to by the table it was answered with}, in the reader's language."""
    found: dict[int, Answered] = {}
    for key in dict.fromkeys(opening.revision_id for opening in openings):
        # All windows of one table at once: hundreds cost little more than one.
        alike = [opening for opening in openings if opening.revision_id == key]
        answers = answer_openings([said_opening(o) for o in alike], alike[0].revision)
        found |= {o.pk: answer for o, answer in zip(alike, answers, strict=True)}
    return found


def spoken_against(
    openings: Sequence[Opening], answered: Mapping[int, Answered]
) -> Iterator[tuple[Opening, str]]:
    """Those of which a number speaks against their part, with the sentence that says which."""
    for opening in openings:
        if sentence := AnswerSheet(answered[opening.pk]).spoken_against:
            yield opening, sentence


def opening_sheet(opening: Opening, name: str, unit: Unit) -> tuple[OpeningSheet, AnswerSheet]:
    """An opening as papers show it, with the answer it was made of."""
    return _sheet(opening, answer_opening(said_opening(opening), opening.revision), name, unit)


def sheet_to_make(opening: Opening, name: str, unit: Unit) -> OpeningSheet:
    """An opening as the factory is shown it: what no row of the table fits is no fault of a measure."""
    answered = answer_opening(said_opening(opening), opening.revision)
    sheet, _shown = _sheet(opening, _to_make(answered), name, unit)
    weight = answered.table.weight_measure
    if weight is None or answered.opening.weight is not None:
        return sheet
    # The factory reads that nobody knows it, instead of finding out that it is not there.
    unknown = MeasureLine(weight.label, "", _("not known"), "", doubtful=True)
    return replace(sheet, measures=(*sheet.measures, unknown))


def sheets_of(
    openings: Sequence[Opening],
    answered: Mapping[int, Answered],
    names: dict[int, str],
    unit: Unit,
) -> tuple[tuple[OpeningSheet, ...], tuple[Caution, ...]]:
    """Each opening in order, with lengths in `unit`, too, and the cautions of all of them, each once.

    `answered` and `names` are by the openings' keys; what is to be made special is shown as measured.
    """
    sheets, warned = [], {}
    for opening in openings:
        answer = answered[opening.pk]
        if opening.part_to_order is None:
            answer = _to_make(answer)
        sheet, shown = _sheet(opening, answer, names[opening.pk], unit)
        warned |= {caution.code: caution for caution in shown.cautions}
        sheets.append(sheet)
    return tuple(sheets), tuple(warned.values())


def _sheet(
    opening: Opening, answered: Answered, name: str, unit: Unit
) -> tuple[OpeningSheet, AnswerSheet]:
    shown = AnswerSheet(answered)
    part = opening.part_to_order
    sheet = OpeningSheet(
        name=name,
        family=answered.table.name,
        count=opening.quantity,
        finish=said_in(language(), answered.table, opening.finish),
        measures=tuple(_measures(shown, unit)),
        result=_("Part {number}").format(number=part.part_number)
        if part
        else _("Special: made to these measures"),
        split=shown.split,
        cautions=tuple(caution.title for caution in shown.cautions),
        drawing=draw_as_given(answered),
    )
    return sheet, shown


def _measures(shown: AnswerSheet, unit: Unit) -> Iterable[MeasureLine]:
    """Each measure said, in the table's order: lengths in its unit, then in the customer's own."""
    answered, table = shown.answered, shown.table
    lines = {line.label: line for line in shown.lines}
    said = dict(answered.said.measures)
    for measure in table.measures:
        words = said.get(measure.code, "")
        if measure.kind == "weight" and answered.opening.weight is not None:
            understood = format_weight(answered.opening.weight, table.weight_unit)
            words = words or _("worked out from the glass")
        elif measure.code in answered.opening.lengths:
            length = answered.opening.lengths[measure.code]
            understood = format_length(length, table.unit, mark=True)
            if unit is not table.unit:
                understood += f" ({format_length(length, unit, mark=True)})"
        elif words:
            understood = _("could not be read")
        else:
            continue
        line = lines.get(measure.label)
        fit = line.words if line else _("as given")
        doubtful = line is not None and line.verdict in ("slip", "misfit")
        yield MeasureLine(measure.label, words, understood, fit, doubtful)


def _to_make(answered: Answered) -> Answered:
    """The answer without the table's word on each measure: a special is made to what was measured.

    What the two heights of an unequal split contradict stays: that is no matter of the table's sizes.
    """
    if answered.answer is None:
        return answered
    kept = {"slip", "misfit"} if answered.answer.reason == "unequal_split" else {"slip"}
    readings = tuple(
        r if r.verdict in kept else _as_given(r, answered.opening.about)
        for r in answered.answer.readings
    )
    return replace(answered, answer=replace(answered.answer, readings=readings))


def _as_given(reading: Reading, about: frozenset[str]) -> Reading:
    words = _("said as “about”") if reading.measure in about else _("as measured")
    return Reading(reading.measure, reading.value, None, None, "unchecked", words)


def how_to(
    sheets: Sequence[OpeningSheet], tables: Iterable[SizeTable]
) -> tuple[tuple[str, str], ...]:
    """How each measure shown is taken: whoever accepts is asked to check it with a tape of their own."""
    found = {
        (sheet.family, measure.label): measure.how_to
        for sheet, table in zip(sheets, tables, strict=True)
        for measure in table.measures
        if measure.how_to and measure.label in {shown.label for shown in sheet.measures}
    }
    several = len({family for family, _label in found}) > 1
    return tuple(
        (f"{label} ({family})" if several else label, how) for (family, label), how in found.items()
    )
