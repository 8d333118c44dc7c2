"""Lines that begin with somebody's or something's name and a colon: each is a window of its own."""

from __future__ import annotations

from itertools import pairwise

from quotes.messages.marks import Mark
from quotes.messages.scan import Token, listed
from quotes.messages.words import Mention

# Headings of a letter or a form, and sides of one window, are no names of windows.
_NO_LABEL = listed(
    "size sizes measurement measurements dimensions note notes finish color colour qty quantity name phone "
    "left right middle center centre top bottom also ps height heights width hi hello hey thanks update "
    "correction sorry date re subject total both each all details info information first second third "
    "original originally corrected revised updated correct actual was now "
    "windows window liners liner sets set pairs pair pcs units pieces of "
    "need needs want wants order ask require take get send quote price please pls add another plus "
    "address email from to cc project spec specs inside outside before after old new again measured"
)


def headed(tokens: list[Token], talk: list[Mention], taken: set[int]) -> list[Mark]:
    """A mark for each line with a name before its colon, if two such lines tell of like measures.

    `taken` are the tokens of amounts.
    """
    named = {mention.first: frozenset(mention.codes) for mention in talk if mention.codes}
    inside = {at for m in talk for at in range(m.first, m.last)}
    found: list[Mark] = []
    told: list[set[str]] = []
    for first, last in sorted([*_lines(tokens), *_clauses(tokens, inside)]):
        label = _label(tokens, first, last, inside) or _described(tokens, first, last)
        rest = range(label.last if label else last, last)
        codes = {code for at in rest for code in named.get(at, ())}
        fresh = label and not any(mark.first == label.first for mark in found[-1:])
        if label and fresh and codes and any(at in taken for at in rest):
            found.append(label)
            told.append(codes)
    alike = any(one & two for at, one in enumerate(told[:50]) for two in told[at + 1 : 50])
    return found if alike and len({mark.label for mark in found}) == len(found) else []


def with_headed(marked: list[Mark], lines: list[Mark]) -> list[Mark]:
    """All marks in their order; a line's name counts where no other mark stands in it."""
    known = {at for mark in marked for at in range(mark.first, mark.last)}
    new = [mark for mark in lines if not known & set(range(mark.first, mark.last))]
    return sorted([*marked, *new], key=lambda mark: mark.first)


def _lines(tokens: list[Token]) -> list[tuple[int, int]]:
    """Where each line begins and ends, as token indexes."""
    ends = [at for at, token in enumerate(tokens) if token.kind in ("line", "gap")]
    return list(zip([0, *(at + 1 for at in ends)], [*ends, len(tokens)], strict=True))


def _clauses(tokens: list[Token], inside: set[int]) -> list[tuple[int, int]]:
    """Where clauses that describe a window begin (for the two over the porch: ...), up to the next."""
    starts = [
        at for at, token in enumerate(tokens)
        if token.text == "for" and (at == 0 or tokens[at - 1].text in (".", ";", "!"))
        and _described(tokens, at, at + 14) and not inside & set(range(at, _colon(tokens, at)))
    ]  # fmt: skip
    return list(pairwise([*starts, len(tokens)])) if starts else []


def _colon(tokens: list[Token], at: int) -> int:
    texts = [token.text for token in tokens[at : at + 14]]
    return at + texts.index(":") if ":" in texts else at


def _described(tokens: list[Token], first: int, last: int) -> Mark | None:
    """For the two windows over the porch: the words up to the colon say which window is meant."""
    colon = _colon(tokens, first)
    if colon == first or colon >= last or tokens[first].text != "for":
        return None
    label = " ".join(token.text for token in tokens[first + 1 : colon])
    return Mark("room", label, first, first + 1)


def _label(tokens: list[Token], first: int, last: int, inside: set[int]) -> Mark | None:
    """One to four words, then a colon; none of them names a measure."""
    for at in range(first, min(last, first + 5)):
        token = tokens[at]
        if token.text == ":" and at > first and at + 1 < last:
            label = " ".join(t.text for t in tokens[first:at])
            return Mark("room", label, first, at + 1)
        if token.kind not in ("word", "number") or at in inside or token.text in _NO_LABEL:
            return None
    return None
