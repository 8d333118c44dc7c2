"""Which words of a message mean which measure of a family.

A family's own codes and labels come first; the trade's usual other names (pane for glass, top for
upper, jamb for opening) stand in for them unless the family uses such a name for something else.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from quotes.messages.scan import Token, listed
from sizing.table import Measure, SizeTable

_NAMES = {
    "glass": "glass glasses pane panes lite lites glazing glas glases",
    "upper": "upper uppers top tops",
    "lower": "lower lowers bottom bottoms btm bot bott",
    "opening": "opening openings op opn opng opg hole jamb jambs track tracks",
    "long": "longpoint lp liner liners strip strips",
    "weight": "weight weighs weigh weighing weighed wt wgt",
}
_SHORT = {"ug": ("upper", "glass"), "lg": ("lower", "glass"), "tg": ("upper", "glass"), "bg": ("lower", "glass")}  # fmt: skip
_LETTERS = {"u": "upper", "t": "upper", "l": "lower", "b": "lower", "o": "opening", "g": "glass"}
_LETTERS |= {"oh": "opening", "gh": "glass", "sw": "weight", "ht": "opening"}
# Sequences that mean the long point of the part that is in the window now.
_LONG = [
    phrase.split()
    for phrase in (
        "long point", "long pt", "long points", "long - point", "old part", "old piece", "old strip",
        "old liner", "old jamb liner", "old liners", "old track liner", "existing part", "existing liner",
        "jamb liner", "jamb liners", "end to end", "end - to - end", "tip to tip", "point to point",
        "part length", "liner length", "overall length", "existing strip", "old parts", "old one",
        "track liner", "track liners", "current liner", "long side", "long edge", "longest side", "current part", "original part", "removed part",
    )
]  # fmt: skip
_FOREIGN_PHRASES = [
    phrase.split()
    for phrase in (
        "short point", "short pt", "rough opening", "visible glass", "glass i can see", "glass you can see", "glass part you can see", "glass that shows", "glass we can see", "glass we see", "glass i see", "glass that i can see", "glass that you can see", "glass part i can see",
        "meeting rail", "brick opening", "glass width", "sash height", "frame height", "storm window",
        "glass thickness", "masonry opening", "window height", "sash opening width",
    )
]  # fmt: skip
_FOREIGN = listed(
    "short width wide across wd depth deep thick thickness stile stiles rail rails stop stops sill sills casing trim "
    "muntin muntins screen screens storm storms door doors wall walls diagonal frame frames apron header "
    "radiator curtain blind blinds shade wider brickmould brickmold ceiling floor"
)
# These neither name a measure nor part its name from what follows.
_FILLERS = listed(
    "sash sashes height heights length size sizes dimension dimensions measurement measurement's of the "
    "hi ht hgt high tall 's section piece itself one ones own in on for"
)
_TYPO_WORDS = ("upper", "lower", "glass", "opening", "bottom", "weight", "weighs", "liner", "track", "panes", "openings")  # fmt: skip
_NOT_TYPOS = listed(
    "line lines lower's gas grass class gloss plane planes pain pains pans pants pane panel supper per uper's "
    "flower power eight height weights truck trucks tack rack crack slower blower loser lover lowe glance "
    "pans trac open opens opened spending liners liner's linear glasses tracks opener bottoms panels pines "
    "punes pawns paines trace"
)
# On their own they are as likely what is wanted as what was measured.
_GENERIC = {"liner", "liners", "strip", "strips", "track", "tracks", "jamb", "jambs"} | _FILLERS
# Words that are one slip away from some finish and mean something else.
_FINISH_WORDS = listed(
    "slat slats late plate state stale bron cram cream crea whit with wite back lack bark brow gree grey gray blue bone sand sandy stone stoned sone silver sliver natural"
)
_SIZES = {"height", "length", "size", "dimension", "measurement"}
_OF_WINDOWS = [
    [word]
    for word in (
        "have",
        "has",
        "need",
        "want",
        "get",
        "take",
        "windows",
        "window",
        "of",
        "openings",
        "in",
    )
]
_BOTH_LETTERS = [[a, mark, b] for a, b in ("tb", "ul") for mark in "&/+"]
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
    typos: dict[str, str] = field(default_factory=dict)

    def word(self, text: str) -> str | None:
        """The plain name a word stands for, a slip of the pen forgiven; None if it names nothing."""
        name = self.names.get(text)
        if name is None and len(text) > 3 and text not in _NOT_TYPOS and text not in self.foreign:
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
    synonyms = {word: name for name, words in _NAMES.items() for word in words.split()}
    known = tuple(_known(measure, synonyms) for measure in table.measures)
    own = {word for k in known for word in k.words}
    names = {word: name for word, name in synonyms.items() if word not in own or name == word}
    names |= {word: word for word in own}
    phrases: list[tuple[list[str], str]] = []
    for k in known:
        for spelled in (split_words(k.measure.code), split_words(k.measure.label)):
            if len(spelled) > 1:
                phrases.append((spelled, k.measure.code))
            elif spelled and spelled[0] not in names:
                names[spelled[0]] = spelled[0]
    phrases += [(phrase, "long") for phrase in _LONG]
    phrases += [(["down", "below"], "lower"), (["up", "above"], "upper")]
    phrases += [(["open", "total"], "opening"), (["open", "height"], "opening")]
    phrases += [(phrase, "") for phrase in _FOREIGN_PHRASES]
    by_first: dict[str, list[tuple[list[str], str]]] = {}
    for phrase in sorted(phrases, key=lambda phrase: -len(phrase[0])):
        by_first.setdefault(phrase[0][0], []).append(phrase)
    typos: dict[str, str] = {}
    for word in _TYPO_WORDS:
        for slip in _slips(word):
            typos.setdefault(slip, names.get(word, word))
    finishes = {finish: _spellings(finish) for finish in table.finishes if split_words(finish)}
    return Vocabulary(known, names, by_first, frozenset(_FOREIGN - own), finishes, typos)


def _spellings(finish: str) -> list[list[str]]:
    """A finish in words, and with one slip of the pen if it is one long word."""
    spelled = split_words(finish)
    slips = set(_slips(spelled[0])) if len(spelled) == 1 and len(spelled[0]) > 4 else set()
    return [spelled, *([slip] for slip in sorted(slips - _FINISH_WORDS) if len(slip) > 3)]


def _known(measure: Measure, synonyms: dict[str, str]) -> _Known:
    words = set(split_words(measure.code)) | set(split_words(measure.label))
    plain = {synonyms.get(word, word) for word in words}
    column = {synonyms.get(word, word) for word in split_words(measure.column or "")}
    sash = measure.sash or next((s for s in ("upper", "lower") if s in plain), None)
    if measure.kind == "weight":
        nouns = (frozenset({"weight"}),)
    elif "glass" in plain | column:
        nouns = (frozenset({"glass"}),)
    elif "long" in plain | column and "opening" not in plain:
        nouns = (frozenset({"long"}),)
    elif "opening" in plain | column:
        nouns = (frozenset({"opening"}),)
    else:
        nouns = _own_nouns(measure)
    spare = (
        plain
        - frozenset().union(*nouns)
        - _FILLERS
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
            frozenset(words - _SIZES - _FILLERS - {"sash"})
            or frozenset(words - _SIZES)
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


def mentions(tokens: list[Token], words: Vocabulary, taken: set[int]) -> list[Mention]:
    """All mentions in their order; `taken` are the tokens of amounts."""
    spelled = [
        token.text.removesuffix("'s") if token.kind in ("word", "mark") else "" for token in tokens
    ]
    letters = bool({"u", "t"} & set(spelled))
    found: list[Mention] = []
    at = 0
    while at < len(tokens):
        run = None if at in taken else _run(spelled, tokens, at, words, taken, letters)
        if run is None:
            at += 1
            continue
        parts, end, foreign = run
        mention = _meant(parts, words, foreign, set(spelled[at : end + 1]))
        if mention:
            codes, sense, bare = mention
            found.append(Mention(
                codes, sense, at, end, tokens[at].start, tokens[end - 1].end, bare,
                set(spelled[at:end]) <= _GENERIC, frozenset(parts),
            ))  # fmt: skip
        at = end
    return found


def _run(
    spelled: list[str],
    tokens: list[Token],
    at: int,
    words: Vocabulary,
    taken: set[int],
    letters: bool,
) -> tuple[set[str], int, bool] | None:
    """From one word on, all that belongs to one name of a measure: its parts and where it ends."""
    parts: set[str] = set()
    foreign = False
    end = here = at
    while here < len(spelled) and here not in taken and here - at < 12:
        step, named, other = _step(spelled, tokens, here, words, taken, letters)
        if named:
            if _second_name(parts, named):
                break
            parts |= named
            foreign |= other
            here += step
            end = here
        elif here > at and spelled[here] in _FILLERS | {"(", ")", "'s"} and end > at:
            here += 1
        else:
            break
    return (parts, end, foreign) if parts else None


def _second_name(parts: set[str], named: set[str]) -> bool:
    """Whether more words begin another name: upper ... lower, glass ... opening."""
    nouns = {"glass", "opening", "long", "weight"}
    if {"upper", "lower"} <= parts | named:
        return True
    if "!" in parts | named:
        return parts != set() and not (parts <= {"upper", "lower", "both"})
    return len((parts | named) & nouns) > 1 and not (parts & nouns >= named & nouns)


def _step(
    spelled: list[str],
    tokens: list[Token],
    at: int,
    words: Vocabulary,
    taken: set[int],
    letters: bool,
) -> tuple[int, set[str], bool]:
    """How many tokens from `at` name something, what, and whether it is none of the family's."""
    for phrase, name in words.phrases.get(spelled[at], ()):
        if spelled[at : at + len(phrase)] == phrase and not taken & set(
            range(at, at + len(phrase))
        ):
            if name == "":
                return len(phrase), {"!"}, True
            known = next((k for k in words.measures if k.measure.code == name), None)
            parts = {*known.nouns[0], *known.qualifiers, known.sash or ""} if known else {name}
            return len(phrase), {p for p in parts if p}, False
    text = spelled[at]
    if text in _SHORT:
        return 1, set(_SHORT[text]), False
    if text in ("both", "each") and spelled[at + 1 : at + 2] not in _OF_WINDOWS:
        return 1, {"both"}, False
    if spelled[at : at + 3] in _BOTH_LETTERS:
        return 3, {"both"}, False
    if text in _LETTERS and spelled[at + 1 : at + 2] in (["/"], ["-"]) and at + 2 < len(spelled):
        noun = words.word(spelled[at + 2])  # u/glass
        if noun == "glass":
            return 3, {_LETTERS[text], noun}, False
    if (
        text in ("up", "down")
        and at
        and (words.word(spelled[at - 1]) == "glass" or spelled[at - 1] == "of")
    ):
        return 1, {"upper" if text == "up" else "lower"}, False
    name = words.word(text) if text else None
    if name:
        return 1, {name}, False
    if text in words.foreign:
        return 1, {"!"}, True
    ends = at + 1 == len(spelled) or spelled[at + 1] in (",", ";", ".", "") or at + 1 in taken
    if text in ("u", "l", "t", "b") and at - 1 in taken and ends and letters:
        return 1, {_LETTERS[text]}, False
    if (
        text in _LETTERS
        and tokens[at].kind == "word"
        and (letters or text in ("g", "o", "oh", "gh", "sw"))
    ):
        follow = at + 1 + (at + 1 < len(spelled) and spelled[at + 1] in (":", "=", "-"))
        if follow in taken and not (at and tokens[at].glued and tokens[at - 1].text == "'"):
            return 1, {_LETTERS[text]}, False
    return 0, set(), False


def _meant(
    parts: set[str], words: Vocabulary, foreign: bool, spelled: set[str]
) -> tuple[tuple[str, ...], Sense, bool] | None:
    """The measures that the parts of a name mean."""
    if foreign:
        return (), "other", False
    sash = next((s for s in ("upper", "lower") if s in parts), None)
    rest = parts - {"upper", "lower", "both"}
    fits = [k for k in words.measures if k.named_by(parts)] if rest else []
    if "weight" in parts:
        fits = [k for k in fits if k.measure.kind == "weight"]
    if rest and not fits:
        nouns = {"glass", "opening", "long", "weight"}
        return ((), "other", False) if rest & nouns else None
    if not rest:
        fits = [k for k in words.measures if k.is_glass]
        if spelled & {"sash", "sashes"}:
            # The wood of a sash is higher than its glass; only talk of glass before makes it sure.
            return tuple(k.measure.code for k in fits if sash in (None, k.sash)), "other", True
    if sash and any(k.sash == sash for k in fits):
        fits = [k for k in fits if k.sash == sash]
    narrowed = [k for k in fits if k.qualifiers and k.qualifiers <= parts]
    fits = narrowed or fits
    codes = tuple(k.measure.code for k in fits)
    if len(codes) == 1:
        return codes, "one", not rest
    pair = len(fits) > 1 and all(k.sash for k in fits) and len({k.nouns for k in fits}) == 1
    if pair and "both" in parts:
        return codes, "each", not rest
    if pair:
        return codes, "either", not rest
    return (), "other", False
