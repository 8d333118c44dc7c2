"""Words of a message that were not placed, and how the clerk puts them into a box."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

from django.http import QueryDict

from quotes.answering import askable
from quotes.desk.requests import MOST_OPENINGS
from quotes.forms.counter import indexes
from quotes.forms.opening import MEASURE
from quotes.messages import Stretch, whole_number
from sizing.table import SizeTable
from sizing.tokens import LONGEST_TEXT

MOST_DOUBTS = 40


@dataclass(frozen=True)
class Doubt:
    """`target` is the id of the box chosen for the words, `done` that they went into it."""

    number: int
    words: Stretch
    target: str = ""
    done: bool = False
    trouble: str = ""

    @property
    def ref(self) -> str:
        return f"?{self.number + 1}"

    @property
    def name(self) -> str:
        return f"u{self.number}"

    @property
    def kept(self) -> str:
        """What the page sends along once the words were put into a box."""
        return f"{self.number}={self.target}"


def doubts_of(unsure: Sequence[Stretch]) -> list[Doubt]:
    return [Doubt(number, words) for number, words in enumerate(unsure[:MOST_DOUBTS])]


def boxes_for(table: SizeTable) -> list[tuple[str, str]]:
    """Boxes of an opening that words may go into: (name, label)."""
    return [(MEASURE + m.code, m.label) for m in askable(table)] + [("quantity", "Count")]


def place_all(
    doubts: Sequence[Doubt], data: QueryDict, table: SizeTable, counted: Container[str]
) -> list[Doubt]:
    """Put words whose box was chosen into that box of `data`; what cannot go has its trouble.

    `counted` are the boxes of counts that the message says; any other count of one was not said.
    """
    before = dict(text.split("=", 1) for text in data.getlist("placed") if "=" in text)
    placed: list[Doubt] = []
    for doubt in doubts:
        if str(doubt.number) in before:
            doubt = replace(doubt, target=before[str(doubt.number)], done=True)
        elif data.get(doubt.name):
            doubt = _place(replace(doubt, target=data[doubt.name]), data, table, counted)
        placed.append(doubt)
    return placed


def _place(doubt: Doubt, data: QueryDict, table: SizeTable, counted: Container[str]) -> Doubt:
    """The doubt done, or with the trouble that stands in its way."""
    opening, _, name = doubt.target.partition("-")
    label = dict(boxes_for(table)).get(name)
    numbers = indexes(data)
    if label is None or opening not in {"new", *(f"o{n}" for n in numbers)}:
        return replace(doubt, target="", trouble="choose one of the boxes in the list.")
    words = " ".join(doubt.words.split())
    if len(words) > LONGEST_TEXT:
        return replace(doubt, trouble=f"“{words}” is too long for a box: type what it means.")
    if name == "quantity":
        number = whole_number(words)
        if number is None:
            return replace(doubt, trouble=f"“{words}” is no one whole number: type the count.")
        words = str(number)
    if opening == "new":
        if len(numbers) >= MOST_OPENINGS:
            return replace(doubt, trouble=f"a request holds up to {MOST_OPENINGS} openings.")
        opening = _begin(data, numbers, table)
    box = f"{opening}-{name}"
    stands = data.get(box, "").strip()
    not_said = name == "quantity" and stands == "1" and box not in counted
    if stands not in ("", words) and not not_said:
        return replace(
            doubt,
            trouble=f"{label} of opening {int(opening[1:]) + 1} holds “{stands}” already: "
            f"clear that box first if “{words}” is right.",
        )
    data[box] = words
    return replace(doubt, target=box, done=True)


def _begin(data: QueryDict, numbers: Sequence[int], table: SizeTable) -> str:
    """Add an opening to the page; returns the beginning of its boxes' names."""
    number = max(numbers, default=-1) + 1
    data.appendlist("openings", str(number))
    data[f"o{number}-family"], data[f"o{number}-quantity"] = table.code, "1"
    return f"o{number}"
