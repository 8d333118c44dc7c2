"""What a measuring sheet holds, and the friendly check of what somebody measured: nothing is decided anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Literal

from quotes.answer_drawing import draw_measures
from quotes.answering import Answered, askable
from quotes.drawing import Dimension, Drawing
from sizing.cautions import LEAD, LIFT, SPRING, Caution
from sizing.lengths import format_length
from sizing.resolver.answer import Opening, Reading
from sizing.resolver.explain import split_in_words
from sizing.resolver.far import OTHER_UNIT, in_other_unit
from sizing.table import Measure, SizeTable
from sizing.wording import N_, ngettext
from sizing.wording import gettext as _

# By whom a request is taken that a customer sends from the measuring page.
SENT_BY = "the measuring page"
UNIT_WORDS = {
    "in": N_("inches"),
    "mm": N_("millimetres"),
    "lb": N_("pounds"),
    "kg": N_("kilograms"),
}


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
    def how_to(self) -> str:
        return self.measure.how_to

    @property
    def avoid(self) -> str:
        """The usual ways to measure it wrongly, as a sentence; empty if there are none."""
        if not self.slips:
            return ""
        return _("Not like this: {slips}.").format(slips="; ".join(self.slips))

    @property
    def unit_words(self) -> str:
        return _(UNIT_WORDS[self.unit])


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
    """What can hurt whoever measures: springs, the sash where it is weighed, old paint."""
    found = [SPRING] if table.is_sprung else []
    if table.weight_measure:
        found.append(LIFT)
    return (*found, LEAD)


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
        return Check(
            "unreadable", _("Some of it can't be read"), _("The boxes below say what to mend.")
        )
    if answered.nothing_said:
        return Check(
            "nothing", _("Nothing is typed yet"), _("Type what you measured, then check it.")
        )
    answer, table = answered.answer, answered.table
    doubtful = [r for r in answer.readings if r.verdict in ("slip", "misfit")]
    if answer.reason == "unequal_split":
        return _unequal(answered)
    if answer.reason == "unit":
        return _which_unit(table, answered.opening, [table.measure(c) for c in answer.doubted])
    alone = len(answer.readings) == 1
    asked = table.measure(answer.ask) if answer.outcome == "ask" and answer.ask else None
    if asked and answer.reason == "size" and (alone or not doubtful):
        return _one_more(asked, settled=False)
    if answer.reason == "off_table":
        # They may well agree with each other.
        headline = _no_size(table, answer.readings)
        again = doubtful or answer.readings
        return _measure_again(table, again, len(answer.readings), headline)
    if answer.reason == "low_certainty" or doubtful:
        return _disagree(table, doubtful or list(answer.readings), len(answer.readings))
    if asked:
        return _one_more(asked, settled=True)
    if answer.outcome == "special":
        return Check(
            "special",
            _("Your measures agree"),
            _("What you need is not one of our usual sizes; send it, and we quote it specially."),
        )
    words = _("They fit one size of ours. Send them; we confirm before anything is made.")
    if answer.ask == "finish":
        words = f"{words} {_('Please choose a finish too.')}"
    return Check("agrees", _("Your measures agree"), words)


def _unequal(answered: Answered) -> Check:
    table, split = answered.table, answered.answer.split
    sashes = [m for m in table.measures if m.sash and m.code in answered.opening.lengths]
    measured = answered.answer.readings
    if any(reading.verdict in ("slip", "misfit") for reading in measured):
        # Which of them is the wrong one, nobody can tell.
        return _disagree(table, measured, len(measured))
    how = f" ({split_in_words(split, table.unit)})" if split and split.kind != "equal" else ""
    return Check(
        "special",
        _("Your two sashes are not equal"),
        _(
            "That is made specially{how}. Measure both panes once more; if they stay as they are, send them."
        ).format(how=how),
        tuple(Again(m.label, "", m.how_to) for m in sashes),
    )


def _which_unit(table: SizeTable, opening: Opening, doubted: Sequence[Measure]) -> Check:
    """Of numbers far from every size that would not be in the other unit; they stay as they are until they say so."""
    unit, other = table.unit, OTHER_UNIT[table.unit]
    headline = ngettext(
        "Is your {measures} in {unit}?", "Are your {measures} in {unit}?", len(doubted)
    ).format(measures=_listed(doubted), unit=_(UNIT_WORDS[other]))
    given = [opening.lengths[measure.code] for measure in doubted]
    typed = [format_length(length, unit, mark=True) for length in given]
    meant = [format_length(in_other_unit(length, unit), other, mark=True) for length in given]
    if len(doubted) == 1:
        words = _(
            "In {unit} it is far from every size of ours. Please type it with its unit: {likely}, or {given} "
            "if that is what you measured."
        ).format(unit=_(UNIT_WORDS[unit]), likely=meant[0], given=typed[0])
    else:
        each = "; ".join(
            _("{measure}: {likely} or {given}").format(measure=m.label, likely=one, given=two)
            for m, one, two in zip(doubted, meant, typed, strict=True)
        )
        words = _(
            "In {unit} they are far from every size of ours. Please type each with its unit, as you measured "
            "it. {each}."
        ).format(unit=_(UNIT_WORDS[unit]), each=each)
    return Check("again", headline, words)


def _listed(measures: Sequence[Measure]) -> str:
    """upper glass height, lower glass height and opening height"""
    *some, last = (measure.named for measure in measures)
    return _("{some} and {last}").format(some=", ".join(some), last=last) if some else last


def _one_more(measure: Measure, settled: bool) -> Check:
    words = [_("Your measures agree.")] if settled else []
    words.append(_("If you can't take it, send what you have."))
    return Check(
        "more",
        _("One more measure would settle it"),
        " ".join(words),
        (Again(measure.label, "", measure.how_to),),
    )


def _disagree(table: SizeTable, doubtful: Sequence[Reading], count: int) -> Check:
    """Name what does not fit with the rest of `count` readings, and how it is measured."""
    measures = [table.measure(reading.measure) for reading in doubtful]
    listed = _listed(measures)
    if count == 1:
        headline = _no_size(table, doubtful)
    elif len(measures) == count:
        headline = _("Your {measures} don't agree").format(measures=listed)
    else:
        headline = ngettext(
            "Your {measures} doesn't agree with the rest",
            "Your {measures} don't agree with the rest",
            len(measures),
        ).format(measures=listed)
    return _measure_again(table, doubtful, count, headline)


def _no_size(table: SizeTable, readings: Sequence[Reading]) -> str:
    words = ngettext(
        "Your {measures} is no size of ours", "Your {measures} are no size of ours", len(readings)
    )
    return words.format(measures=_listed([table.measure(one.measure) for one in readings]))


def _measure_again(
    table: SizeTable, doubtful: Sequence[Reading], count: int, headline: str
) -> Check:
    """Those of `count` readings that are to be taken again, and how."""
    measures = [table.measure(reading.measure) for reading in doubtful]
    return Check(
        "again",
        headline,
        _(
            "Please measure again like this. If it stays the same, send it all the same: we look into it."
        ),
        tuple(
            Again(m.label, _why(reading, count), m.how_to)
            for m, reading in zip(measures, doubtful, strict=True)
        ),
    )


def _why(reading: Reading, count: int) -> str:
    """about 3/4 in short, as when only the visible glass is measured"""
    if reading.verdict == "slip":
        return _("{apart}, as when {cause}").format(apart=reading.apart, cause=reading.cause)
    # Of one measure by itself the distance to the nearest size says nothing.
    return (reading.apart or reading.words) if reading.verdict == "misfit" and count > 1 else ""
