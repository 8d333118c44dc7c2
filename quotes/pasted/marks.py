"""A message cut at the edges of the words that were used, so that a page can mark them. No Django."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from quotes.messages import Stretch


@dataclass(frozen=True)
class Mark:
    """Words of the message and what they were used for.

    `ref` is the short sign that stands on both sides (1a, ?2); `meaning` says it in words; `box` is the
    id of the box that they went into. `sure` is false for words that were not placed.
    """

    ref: str
    meaning: str
    box: str
    words: Stretch
    sure: bool = True


@dataclass(frozen=True)
class Piece:
    """A piece of the text: the marks it lies in, and those of them that end with it."""

    text: str
    marks: tuple[Mark, ...]
    ends: tuple[Mark, ...]

    @property
    def sure(self) -> bool:
        return any(mark.sure for mark in self.marks)


def cut(text: str, marks: Sequence[Mark]) -> list[Piece]:
    """The text in pieces; joined they are the text again, however the marks overlap."""
    standing = [mark for mark in marks if mark.words.start < mark.words.end <= len(text)]
    edges = {0, len(text)}
    for mark in standing:
        edges |= {mark.words.start, mark.words.end}
    places = sorted(edges)
    return [
        Piece(
            text[start:end],
            tuple(m for m in standing if m.words.start <= start and end <= m.words.end),
            tuple(m for m in standing if m.words.end == end),
        )
        for start, end in pairwise(places)
    ]
