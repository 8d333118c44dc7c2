"""Where a message names a measure: the words of one name together, and what they mean."""

from __future__ import annotations

from quotes.messages.ends import between_ends
from quotes.messages.scan import Token
from quotes.messages.trade import (
    BOTH_LETTERS,
    FILLERS,
    GENERIC,
    LETTERS,
    OF_WINDOWS,
    SHORT,
    SIZES,
)
from quotes.messages.words import Mention, Sense, Vocabulary


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
                set(spelled[at:end]) <= GENERIC and not set(spelled[end : end + 1]) & SIZES,
                frozenset(parts),
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
        if parts and spelled[here + 1 : here + 3] in (["to", "bottom"], ["to", "top"]):
            named = set()  # the opening, top to bottom
        if named:
            apart = here == end and parts <= {"upper", "lower"} and named & {"opening", "long"}
            if _second_name(parts, named) or (parts and apart):
                break
            parts |= named
            foreign |= other
            here += step
            end = here
        elif spelled[here : here + 3] in (["top", "to", "bottom"], ["bottom", "to", "top"]):
            here += 3
            end = here
        elif here > at and _fills(spelled, at, here) and end > at:
            here += 1
        else:
            break
    return (parts, end, foreign) if parts else None


def _fills(spelled: list[str], at: int, here: int) -> bool:
    """Whether a word may stand inside one name; a bracket only if it was opened there."""
    if spelled[here] == ")":
        return "(" in spelled[at:here]
    return spelled[here] in FILLERS or spelled[here] in ("(", "'s")


def _second_name(parts: set[str], named: set[str]) -> bool:
    """Whether more words begin another name: upper ... lower, glass ... opening."""
    nouns = {"glass", "opening", "long", "weight"}
    if {"upper", "lower"} <= parts | named:
        return True
    if "long" in parts and named & {"upper", "lower"}:
        return True  # one liner: upper 17 3/8
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
    size, between = between_ends(spelled, at)
    if size and not taken & set(range(at, at + size)):
        name = words.sill_to_head if between == "height" else ""
        return size, _parts_of(name, words), name == ""
    for phrase, name in words.phrases.get(spelled[at], ()):
        if spelled[at : at + len(phrase)] == phrase and not taken & set(
            range(at, at + len(phrase))
        ):
            return len(phrase), _parts_of(name, words), name == ""
    text = spelled[at]
    if text in ("both", "each") and not set(spelled[at + 1 : at + 2]) & OF_WINDOWS:
        return 1, {"both"}, False
    before = spelled[at - 1] if at else ""
    upright = {"up": "upper", "down": "lower", "upstairs": "upper", "downstairs": "lower"}.get(text)
    sash = spelled[at + 1 : at + 2] == ["sash"] or before == "of" or words.word(before) == "glass"
    if upright and sash:
        return 1, {upright}, False
    size, parts = _letters(spelled, tokens, at, words, taken, letters)
    if size:
        return size, parts, False
    if text and (plain := words.word(text)):
        return 1, {plain}, False
    return (1, {"!"}, True) if text in words.foreign else (0, set(), False)


def _parts_of(name: str, words: Vocabulary) -> set[str]:
    """The parts of a measure's name by its code, of a trade name itself; "!" of what is no measure."""
    known = next((k for k in words.measures if k.measure.code == name), None)
    parts = {*known.nouns[0], *known.qualifiers, known.sash or ""} if known else {name or "!"}
    return parts - {""}


def _letters(
    spelled: list[str],
    tokens: list[Token],
    at: int,
    words: Vocabulary,
    taken: set[int],
    letters: bool,
) -> tuple[int, set[str]]:
    """A clerk's letters: UG, u/glass, T&B, and U or L where an amount stands right beside them."""
    text = spelled[at]
    if text in SHORT:
        return 1, set(SHORT[text])
    if spelled[at : at + 3] in BOTH_LETTERS:
        return 3, {"both"}
    if text not in LETTERS or tokens[at].kind != "word":
        return 0, set()
    name = LETTERS[text]
    if (
        spelled[at + 1 : at + 2] in (["/"], ["-"])
        and words.word("".join(spelled[at + 2 : at + 3])) == "glass"
    ):
        return 3, {name, "glass"}
    ends = at + 1 == len(spelled) or spelled[at + 1] in (",", ";", ".", "") or at + 1 in taken
    if text in ("u", "l", "t", "b") and at - 1 in taken and ends and letters:
        return 1, {name}
    follow = at + 1 + (at + 1 < len(spelled) and spelled[at + 1] in (":", "=", "-"))
    apostrophe = at > 0 and tokens[at].glued and tokens[at - 1].text == "'"
    alone = letters or text in ("g", "o", "oh", "gh", "sw")
    return (1, {name}) if alone and follow in taken and not apostrophe else (0, set())


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
        if not fits and parts == {"both"}:
            return None
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
