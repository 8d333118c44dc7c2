""" "The same": of the other sash's measure, or of a whole window said before."""

from __future__ import annotations

from quotes.messages.marks import Mark
from quotes.messages.pieces import Same
from quotes.messages.scan import Token
from quotes.messages.words import Mention

_SAME = {"same", "ditto", "idem", "likewise", "identical", "matching", "equal", "sames"}
_LINK = {"is", "the", "are", ":", "=", "exactly", "also", "-", "(", "both", "its", "it's", "of", "one", "ones", "sash", "measures", "was"}  # fmt: skip
_TO = {"for", "on", "at", "in", "the", "of", "as", "to", "with", "my", "height", "size"}
_WHOLE = {"as", "but", "except", "size", "sizes", "measurements", "again", "everything", "dimensions", "numbers", "deal"}  # fmt: skip


def sames(tokens: list[Token], talk: list[Mention], marks: list[Mark]) -> list[Same]:
    """All such references, in their order."""
    by_last = {mention.last: mention for mention in talk}
    by_first = {mention.first: mention for mention in talk}
    labels = {mark.first: mark for mark in marks}
    found: list[Same] = []
    for at, token in enumerate(tokens):
        if token.text == "as" and _like(tokens, at, labels):
            found.append(
                Same(at, token.start, token.end, (), labels.get(at + 1) or labels.get(at + 2))
            )
            continue
        if token.text not in _SAME:
            continue
        mention = _before(tokens, at, by_last)
        ahead = None if mention else _after(tokens, at, by_first)
        mention = mention or ahead
        if mention and mention.sense == "one":
            start, end = min(mention.start, token.start), max(mention.end, token.end)
            found.append(Same(at, start, end, mention.codes, at=(mention.first,)))
            continue
        follow = [t.text for t in tokens[at + 1 : at + 5]]
        begins = at == 0 or tokens[at - 1].kind in ("line", "gap") or tokens[at - 1].text in (":", ",", "-", "is", "are", "exactly", "the")  # fmt: skip
        if (
            token.text == "ditto"
            or set(follow[:1]) & _WHOLE
            or (begins and at and _named_before(tokens, at, marks))
        ):
            source = next(
                (labels[i] for i in range(at, min(at + 5, len(tokens))) if i in labels), None
            )
            found.append(Same(at, token.start, token.end, (), source))
    return found


def _like(tokens: list[Token], at: int, labels: dict[int, Mark]) -> bool:
    """Whether "as" alone says the same: as flat 2, as above."""
    fresh = (
        at == 0
        or tokens[at - 1].text in (":", "-", ",", "|")
        or tokens[at - 1].kind in ("line", "gap")
    )
    above = at + 1 < len(tokens) and tokens[at + 1].text in ("above", "before")
    return fresh and (above or at + 1 in labels or at + 2 in labels)


def _named_before(tokens: list[Token], at: int, marks: list[Mark]) -> bool:
    """Whether a window was named shortly before: bath: same."""
    return any(0 <= at - mark.last <= 4 and mark.firm for mark in marks)


def _before(tokens: list[Token], at: int, by_last: dict[int, Mention]) -> Mention | None:
    here = at
    while here > 0 and at - here < 5:
        if here in by_last:
            return by_last[here]
        if tokens[here - 1].text not in _LINK:
            return None
        here -= 1
    return None


def _after(tokens: list[Token], at: int, by_first: dict[int, Mention]) -> Mention | None:
    here = at + 1
    while here < len(tokens) and here - at < 6:
        if here in by_first:
            return by_first[here]
        if tokens[here].text not in _TO:
            return None
        here += 1
    return None
