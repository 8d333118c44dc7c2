"""One window of a message as boxes, each with the words it came from."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django import forms

from quotes.forms.opening import MEASURE, OpeningForm
from quotes.messages import ReadOpening
from quotes.pasted.marks import Mark
from quotes.said import SaidOpening
from sizing import weights
from sizing.lengths import Step, Unit, format_length, parse_length
from sizing.table import Measure, SizeTable
from sizing.weights import WeightUnit, parse_weight

LETTERS = "abcdefghijklmnopqrstuvwxyz"
UNCONFIRMED = "hold it against the message, then tick “looks right” or “leave out”."


@dataclass(frozen=True)
class Source:
    """The words behind one box. `read` is what had been read from them, where the box says otherwise."""

    ref: str
    words: str
    read: str = ""


@dataclass(frozen=True)
class SourcedBox:
    box: forms.BoundField
    source: Source | None
    hint: str = ""


class PastedOpening(OpeningForm):
    """One window that was found, or that the clerk adds: the counter's boxes and a tick."""

    right = forms.BooleanField(required=False, label="looks right")
    sources: dict[str, Source]

    def mark(self, found: ReadOpening | None, number: int) -> list[Mark]:
        """Set the words behind each box; returns them as marks of the message."""
        self.sources = {}
        if found is None:
            return []
        said = [(MEASURE + m.code, m.label, found.words.get(m.code)) for m in self.asked]
        said.append(("quantity", "Count", found.quantity_words))
        said.append(("finish", "Finish", found.finish_words))
        marks: list[Mark] = []
        for letter, (name, label, words) in zip(LETTERS, said, strict=False):
            if words:
                ref, meaning = f"{number}{letter}", f"opening {number}, {label}"
                self.sources[name] = Source(ref, words, self._read(name))
                marks.append(Mark(ref, meaning, self.add_prefix(name), words))
        return marks

    def _read(self, name: str) -> str:
        """What had been read for this box, if it holds something else by now."""
        read = str(self.initial.get(name) or "")
        return read if self.is_bound and self._typed(name).strip() != read else ""

    @property
    def boxes(self) -> list[SourcedBox]:
        return [self._sourced(MEASURE + m.code, m.how_to) for m in self.asked]

    @property
    def count_box(self) -> SourcedBox:
        return self._sourced("quantity")

    @property
    def finish_box(self) -> SourcedBox:
        return self._sourced("finish")

    def _sourced(self, name: str, hint: str = "") -> SourcedBox:
        return SourcedBox(self[name], self.sources.get(name), hint)

    @property
    def is_untouched(self) -> bool:
        """Whether nothing at all is said of this window."""
        said = self.said()
        return said.is_blank and not said.finish and said.quantity == 1

    def confirm(self) -> None:
        """Make it an error if nobody has said that this window looks right."""
        if not (self.cleaned_data.get("right") or self.is_untouched):
            self.add_error("right", UNCONFIRMED)


def said_opening(found: ReadOpening, table: SizeTable) -> SaidOpening:
    """A window that was read, as a clerk would have typed it."""
    return SaidOpening(
        family=table.code,
        label=found.label[:80],
        measures={
            code: written(value, table.measure(code), table)
            for code, value in found.measures.items()
        },
        finish=found.finish or "",
        quantity=found.quantity,
    )


def written(value: Decimal, measure: Measure, table: SizeTable) -> str:
    """A value of the reader as a clerk would type it, and as it reads back exactly."""
    if measure.kind == "weight":
        weight = parse_weight(f"{value:f}", table.weight_unit)
        units = sorted(WeightUnit, key=lambda unit: unit is not table.weight_unit)
        return min((f"{weights.to_decimal(weight, unit):f} {unit}" for unit in units), key=len)
    length = parse_length(f"{value:f}", table.unit)
    step = {Unit.INCH: Step.SIXTY_FOURTH, Unit.MM: Step.TENTH_MM}
    if length % step[table.unit].value == 0:
        return format_length(length, table.unit)
    # Said in the other unit, and exact only there.
    other = Unit.MM if table.unit is Unit.INCH else Unit.INCH
    exact = length % step[other].value == 0
    return format_length(length, other, mark=True) if exact else f"{value:f}"
