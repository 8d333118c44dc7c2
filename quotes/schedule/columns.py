"""What the headings of a sender's schedule mean: tolerant of order, case and a few usual words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sizing.table import SizeTable

LABEL, COUNT, FINISH = "label", "quantity", "finish"
# Written in a measure's cell where nobody can take it: it is then never asked for.
CANNOT = "can't"
OURS = "desk: "


@dataclass(frozen=True)
class Field:
    """A column that is read. `heading` is what the template calls it, `unit` what it says in brackets; `sash` is
    "upper" or "lower" where it is measured at one of them."""

    code: str
    heading: str
    unit: str = ""
    how_to: str = ""
    sash: str = ""

    @property
    def title(self) -> str:
        return f"{self.heading} ({self.unit})" if self.unit else self.heading


@dataclass(frozen=True)
class Found:
    """A heading that was understood. `said` is the unit that it names; `before`, of a column that says where a window
    is, what its number goes by: Flat."""

    column: int
    field: Field
    said: str = ""
    before: str = ""

    @property
    def unit(self) -> str:
        """Its own for bare numbers below it; empty: the family's."""
        return self.said if self.field.unit and self.said != self.field.unit else ""


class HeadingError(ValueError):
    """Headings that can't be told apart; one sentence."""


def fields_of(table: SizeTable) -> tuple[Field, ...]:
    """Label, quantity, each measure and the finish, in the template's order."""
    weight = table.weight_measure
    measures = [m for m in table.measures if m.kind == "length"]
    found = [Field(LABEL, "Window"), Field(COUNT, "Quantity")]
    unit = table.unit.value
    found += [Field(m.code, m.label, unit, m.how_to, m.sash or "") for m in measures]
    if any(table.finishes):
        found.append(Field(FINISH, "Finish"))
    if weight is not None:
        found.append(Field(weight.code, weight.label, table.weight_unit.value, weight.how_to))
    return tuple(found)


def find_columns(headings: Mapping[int, str], fields: Sequence[Field]) -> list[Found]:
    """The headings that are understood, by column. Raises HeadingError where two mean the same."""
    spellings = {words: field for field in fields for words in _spellings(field)}
    found: dict[str, Found] = {}
    for column, heading in headings.items():
        words, unit = _words(heading)
        field = spellings.get(words) or spellings.get(words - _IDLE)
        if field is None:
            continue
        if field.code in found:
            first = headings[found[field.code].column]
            raise HeadingError(
                f"The headings “{first}” and “{heading}” both read as {field.heading}: "
                "rename the one that is not to be read."
            )
        found[field.code] = Found(column, field, unit)
    for column, field, unit in _of_neither(headings, found, fields):
        found[field.code] = Found(column, field, unit)
    label = next((field for field in fields if field.code == LABEL), None)
    return [*found.values(), *(_wheres(headings, found, label) if label else ())]


def _of_neither(
    headings: Mapping[int, str], found: Mapping[str, Found], fields: Sequence[Field]
) -> Iterator[tuple[int, Field, str]]:
    """A column that names what is measured at either sash and says of which in no word (Glass): as in a message it is
    of the first, where no column is of one of them."""
    sashes = [field for field in fields if field.sash]
    if any(field.code in found for field in sashes):
        return
    for column, heading in headings.items():
        words, unit = _words(heading)
        for field in sashes[:1]:
            if words and words - _IDLE == _words(field.heading)[0] - _IDLE - {field.sash}:
                yield column, field, unit
                return


def _wheres(
    headings: Mapping[int, str], found: Mapping[str, Found], label: Field
) -> Iterator[Found]:
    """Columns that say where a window is: they stand in its label, before what the sender calls it."""
    taken = {one.column for one in found.values()}
    free = {at: _to_words(text) for at, text in headings.items() if at not in taken}
    rooms = [at for at, words in free.items() if frozenset(words) in _ROOMS]
    for at, words in free.items():
        if len(words) == 1 and words[0] in _PLACES:
            yield Found(at, label, before=words[0].capitalize())
        elif LABEL not in found and rooms[:1] == [at]:
            yield Found(at, label)


def says_no_size(heading: str) -> bool:
    """Whether a sender's column is of what runs across, of money or of numbers that name: no size of ours."""
    return not _NO_SIZE.isdisjoint(_to_words(heading))


def unit_of(text: str, field: Field) -> str:
    """The unit that a cell of that column says and nothing besides, such as (in.) or mm; empty if it is none."""
    words = _to_words(text)
    unit = _UNITS.get(words[0], "") if len(words) == 1 else ""
    alike = next((units for units in (_LENGTHS, _WEIGHTS) if field.unit in units), ())
    return unit if unit in alike else ""


# Other words for one heading, and words that say nothing about which measure is meant.
_ALSO = {
    LABEL: ("label", "mark", "window no", "window number", "window label", "tag", "opening label"),
    COUNT: ("qty", "count", "pieces", "how many", "number of windows"),
    FINISH: ("colour", "color"),
}
# What tells a window from the others where the sender has no column for that alone.
_ROOMS = (frozenset({"room"}), frozenset({"location"}))
# What tells alike rooms from each other: two stairs in two buildings.
_PLACES = (
    "building",
    "block",
    "house",
    "plot",
    "floor",
    "level",
    "flat",
    "apartment",
    "apt",
    "suite",
)
_IDLE = frozenset(("height", "size", "length", "sash", "measure", "measured", "the", "of"))
# As they are cut short over a narrow column, and what people say for one word.
_SHORT = {
    "wt": "weight", "ht": "height", "hgt": "height", "opng": "opening", "opg": "opening", "panes": "glass",
    "pane": "glass", "top": "upper", "upr": "upper", "bottom": "lower", "btm": "lower", "bot": "lower", "lwr": "lower",
}  # fmt: skip
_NO_SIZE = frozenset(
    (
        "width",
        "wide",
        "w",
        "wd",
        "breadth",
        "price",
        "cost",
        "amount",
        "total",
        "no",
        "number",
        "id",
    )
)
_UNITS = {
    "in": "in", "inch": "in", "inches": "in", "mm": "mm", "millimetres": "mm", "millimeters": "mm",
    "cm": "cm", "centimetres": "cm", "centimeters": "cm", "lb": "lb", "lbs": "lb", "pounds": "lb",
    "kg": "kg", "kilograms": "kg",
}  # fmt: skip
_LENGTHS, _WEIGHTS = ("in", "mm", "cm"), ("lb", "kg")


def _spellings(field: Field) -> Iterable[frozenset[str]]:
    for text in (field.heading, field.code.replace("_", " "), *_ALSO.get(field.code, ())):
        words, _ = _words(text)
        yield words
        if words - _IDLE:
            yield words - _IDLE


def _words(heading: str) -> tuple[frozenset[str], str]:
    """A heading as the set of its words, without the unit that it ends with."""
    words = _to_words(heading)
    unit = _UNITS.get(words[-1], "") if len(words) > 1 else ""
    return frozenset(_SHORT.get(word, word) for word in (words[:-1] if unit else words)), unit


def _to_words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text.casefold().replace('"', " in "))
