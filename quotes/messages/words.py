"""Which words of a message mean which measure of a family.

A family's own codes and labels come first; the trade's usual other names (pane for glass, top for
upper, jamb for opening) stand in for them unless the family uses such a name for something else.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from quotes.messages.trade import (
    FILLERS,
    FINISH_WORDS,
    FOREIGN,
    FOREIGN_PHRASES,
    LONG,
    NAMES,
    NOT_TYPOS,
    SIZES,
    TYPO_WORDS,
)
from sizing.table import Measure, SizeTable

Sense = Literal["one", "each", "either", "other"]


@dataclass
class Mention:
    """A stretch of tokens that names a measure.

    `codes` are the measures meant: all of them ("each"), one of them ("either"), the one ("one");
    "other" is a dimension that is none of the family's, or one that the writer says is not meant.
    `bare` says that only the sash was named, so the noun comes from the talk before; `weak`
    that the words (liners) rather name what is ordered unless the amount stands right beside them.
    """

    codes: tuple[str, ...]
    sense: Sense
    first: int
    last: int
    start: int
    end: int
    bare: bool = False
    weak: bool = False
    parts: frozenset[str] = frozenset()


@dataclass(frozen=True)
class _Known:
    measure: Measure
    # Any of these sets of words names it.
    nouns: tuple[frozenset[str], ...]
    sash: str | None
    qualifiers: frozenset[str]

    @property
    def words(self) -> frozenset[str]:
        return frozenset().union(self.qualifiers, *self.nouns)

    def named_by(self, parts: set[str]) -> bool:
        return any(noun <= parts for noun in self.nouns)

    @property
    def is_glass(self) -> bool:
        return self.nouns == (frozenset({"glass"}),)


@dataclass
class Vocabulary:
    """The words of one family: build once with `vocabulary(table)`."""

    measures: tuple[_Known, ...]
    names: dict[str, str]
    phrases: dict[str, list[tuple[list[str], str]]]
    foreign: frozenset[str]
    finishes: dict[str, list[list[str]]]
    # What lies between sill and head: a measure's code, or the trade's name for it.
    sill_to_head: str = "opening"
    typos: dict[str, str] = field(default_factory=dict)

    def word(self, text: str) -> str | None:
        """The plain name a word stands for, a slip of the pen forgiven; None if it names nothing."""
        name = self.names.get(text)
        if name is None and len(text) > 3 and text not in NOT_TYPOS and text not in self.foreign:
            name = self.typos.get(text)
        return name

    @property
    def weight(self) -> tuple[str, ...]:
        return tuple(k.measure.code for k in self.measures if k.measure.kind == "weight")

    def glass(self, sash: str) -> str | None:
        """The code of the glass of one sash."""
        found = [k.measure.code for k in self.measures if k.sash == sash and k.is_glass]
        return found[0] if len(found) == 1 else None

    def twin(self, code: str) -> str | None:
        """The measure of the other sash in the same column."""
        known = next(k for k in self.measures if k.measure.code == code)
        for other in self.measures:
            alike = other.measure.column == known.measure.column and other.nouns == known.nouns
            if alike and known.sash and other.sash and other.sash != known.sash:
                return other.measure.code
        return None


def split_words(text: str) -> list[str]:
    """The words of a code or label in lower case: upper_glass, "Upper glass (in)"."""
    return re.findall(r"[^\W\d_]+|\d+", text.lower())


def vocabulary(table: SizeTable) -> Vocabulary:
    """The words that mean this family's measures and finishes."""
    synonyms = {word: name for name, words in NAMES.items() for word in words.split()}
    known = tuple(_known(measure, synonyms) for measure in table.measures)
    own = {word for k in known for word in k.words}
    names = {word: name for word, name in synonyms.items() if word not in own or name == word}
    names |= {word: word for word in own}
    phrases: list[tuple[list[str], str]] = []
    for k in known:
        for spelled in (split_words(k.measure.code), *_said(k.measure.label)):
            if len(spelled) > 1:
                phrases.append((spelled, k.measure.code))
            elif spelled and spelled[0] not in names:
                names[spelled[0]] = spelled[0]
    phrases += [(phrase, "long") for phrase in LONG]
    phrases += [(["down", "below"], "lower"), (["up", "above"], "upper")]
    phrases += [([word, "opening"], "opening") for word in ("frame", "window", "jamb")]
    phrases += [(["open", "total"], "opening"), (["open", "height"], "opening")]
    phrases += [(phrase, "") for phrase in FOREIGN_PHRASES]
    by_first: dict[str, list[tuple[list[str], str]]] = {}
    for phrase in sorted(phrases, key=lambda phrase: -len(phrase[0])):
        by_first.setdefault(phrase[0][0], []).append(phrase)
    typos: dict[str, str] = {}
    for word in TYPO_WORDS:
        for slip in _slips(word):
            typos.setdefault(slip, names.get(word, word))
    finishes = {finish: _spellings(finish) for finish in table.finishes if split_words(finish)}
    between = next(
        (k.measure.code for k in known if {"sill", "head"} <= set(split_words(k.measure.label))),
        "opening",
    )
    return Vocabulary(known, names, by_first, frozenset(FOREIGN - own), finishes, between, typos)


def _said(label: str) -> list[list[str]]:
    """The words of a label: all of them, and each of its parts (old track, tip to end)."""
    parts = [split_words(part) for part in re.split(r"[,:;/(]", label)]
    return [split_words(label), *(part for part in parts if len(part) > 1)]


def _spellings(finish: str) -> list[list[str]]:
    """A finish in words, and with one slip of the pen if it is one long word."""
    spelled = split_words(finish)
    slips = set(_slips(spelled[0])) if len(spelled) == 1 and len(spelled[0]) > 4 else set()
    return [spelled, *([slip] for slip in sorted(slips - FINISH_WORDS) if len(slip) > 3)]


def _known(measure: Measure, synonyms: dict[str, str]) -> _Known:
    words = set(split_words(measure.code)) | set(split_words(measure.label))
    plain = {synonyms.get(word, word) for word in words}
    column = {synonyms.get(word, word) for word in split_words(measure.column or "")}
    sash = measure.sash or next((s for s in ("upper", "lower") if s in plain), None)
    coded = column | {synonyms.get(word, word) for word in split_words(measure.code)}
    nouns: tuple[frozenset[str], ...]
    if measure.kind == "weight":
        nouns = (frozenset({"weight"}),)
    elif "glass" in plain | column:
        nouns = (frozenset({"glass"}),)
    elif "long" in coded or ("long" in plain and "opening" not in plain):
        nouns = (frozenset({"long"}),)
    elif "opening" in plain | column:
        nouns = (frozenset({"opening"}),)
    else:
        nouns = _own_nouns(measure)
    spare = (
        plain
        - frozenset().union(*nouns)
        - FILLERS
        - {"upper", "lower", "point", "part", "old", "sash"}
    )
    named = {word for word in spare if word not in synonyms.values() and len(word) > 2}
    return _Known(measure, nouns, sash, frozenset(named) if len(nouns) == 1 else frozenset())


def _own_nouns(measure: Measure) -> tuple[frozenset[str], ...]:
    """The names of a measure that is none of the trade's usual ones: its code, column, label up to "of"."""
    label = re.split(r" of | in |[(,:/]", measure.label.lower())[0]
    found: list[frozenset[str]] = []
    for text in (measure.code, measure.column or "", label):
        words = set(split_words(text)) - {"upper", "lower", "top", "bottom"}
        core = (
            frozenset(words - SIZES - FILLERS - {"sash"})
            or frozenset(words - SIZES)
            or frozenset(words)
        )
        if core and core not in found:
            found.append(core)
    if frozenset({"length"}) in found:
        found.append(frozenset({"long"}))  # the only length of a part is the part's
    return tuple(found)


def _slips(word: str) -> Iterable[str]:
    """A letter left out, doubled, or swapped with the next one."""
    for at in range(1, len(word)):
        yield word[:at] + word[at + 1 :]
        yield word[: at + 1] + word[at] + word[at + 1 :]
        yield word[:at] + word[at + 1 : at + 2] + word[at] + word[at + 2 :]
    yield word[0] + word
