""" "The same": of the other sash's measure, or of a whole window said before."""

from __future__ import annotations

from quotes.messages.marks import NUMBERED, Mark
from quotes.messages.pieces import Same
from quotes.messages.scan import Token
from quotes.messages.words import Mention

_SAME = {"same", "ditto", "idem", "likewise", "identical", "matching", "equal", "sames", "too"}
_LINK = {"is", "the", "are", ":", "=", "exactly", "also", "-", "(", "both", "its", "it's", "of", "one", "ones", "sash", "measures", "was", ",", "height", "heights", "size"}  # fmt: skip
_TO = {"for", "on", "at", "in", "the", "of", "as", "to", "with", "my", "height", "size"}
_STOPS = {".", ";", ",", ":", "!", "?", "-", "(", "but", "except"}
_BACK = {
    "above",
    "before",
    "the",
    "last",
    "previous",
    "that",
    "those",
    "earlier",
    "first",
    "this",
    "my",
    "for",
}
_SOLD = {"sent", "ordered", "bought", "purchased", "got", "order", "invoice", "time", "year", "month", "summer", "spring", "winter", "fall"}  # fmt: skip
_DITTO = {'"', "'"}
# After them a line that began with "same" may go on and still speak of a whole window.
_GOES_ON = {"in", "with", "please", "pls", "plz", "thanks", "too", "here", "also", "x", "qty", "thing", "window", "one", "and"}  # fmt: skip
_WHOLE = {"as", "but", "except", "size", "sizes", "measurements", "again", "everything", "dimensions", "numbers", "deal"}  # fmt: skip


def sames(
    tokens: list[Token], talk: list[Mention], marks: list[Mark], taken: set[int],
    places: frozenset[str],
) -> list[Same]:  # fmt: skip
    """All such references, in their order. `taken` are the tokens of amounts, `places` words of
    rooms and finishes."""
    by_last = {mention.last: mention for mention in talk}
    by_first = {mention.first: mention for mention in talk}
    labels = {mark.first: mark for mark in marks}
    # Where each window is named first.
    known = {mark.label: mark.first for mark in reversed(marks)}
    ends = {mark.last for mark in marks if mark.firm or mark.kind == "item"}
    measured = min(taken, default=len(tokens))
    found: list[Same] = []
    for at, token in enumerate(tokens):
        if token.text == "as" and _like(tokens, at, labels, known, ends):
            found.append(Same(at, token.start, token.end, (), _source(tokens, at, labels, known)))
            continue
        last = _dittos(tokens, at, ends, places)
        if last:
            source = None if _names(tokens, at, ends) else _unknown(at)
            found.append(Same(at, token.start, tokens[last - 1].end, (), source))
            continue
        if token.text not in _SAME:
            continue
        mention = _before(tokens, at, by_last)
        if mention and at > 0 and tokens[at - 1].text == ",":
            valued = _valued(tokens, mention, taken)
            mention = None if valued or _after(tokens, at, by_first) else mention
        ahead = None if mention else _after(tokens, at, by_first)
        after = tokens[at + 1] if at + 1 < len(tokens) else None
        if token.text == "too" and (not mention or (after and after.kind == "word")):
            continue
        if ahead and _has_amount(tokens, ahead, taken):
            continue  # the same opening of 40 3/8
        mention = mention or ahead
        if mention and mention.sense == "one":
            start, end = min(mention.start, token.start), max(mention.end, token.end)
            found.append(Same(at, start, end, mention.codes, at=(mention.first,)))
            continue
        whole = _whole(tokens, at, marks, ends, labels, known, places)
        if whole and not whole.source and measured < at and _sold_before(tokens, at):
            whole.source = _unknown(at)
        told = mention is not None and bool(mention.codes)
        if not whole and not told and measured < at and _line_of_its_own(tokens, at, ends):
            whole = Same(at, token.start, token.end, (), _unknown(at))
        if whole:
            found.append(whole)
    return found


def _whole(
    tokens: list[Token], at: int, marks: list[Mark], ends: set[int], labels: dict[int, Mark],
    known: dict[str, int], places: frozenset[str],
) -> Same | None:  # fmt: skip
    """The same of a whole window: ditto; same as above; bath: same; 2. same."""
    token = tokens[at]
    follow = [t.text for t in tokens[at + 1 : at + 5]]
    begins = at == 0 or tokens[at - 1].kind in ("line", "gap") or tokens[at - 1].text in (":", ",", "-", "is", "are", "exactly", "the")  # fmt: skip
    named = begins and at and _named_before(tokens, at, marks)
    named = named or (_names(tokens, at, ends) and _ends_there(tokens, at + 1, places))
    if not (token.text == "ditto" or set(follow[:1]) & _WHOLE or named):
        return None
    like = follow[1] if follow[:1] == ["as"] and len(follow) > 1 else "above"
    source = _source(tokens, at, labels, known)
    if source is None and like not in _BACK:
        source = _unknown(at)
    return Same(at, token.start, token.end, (), source)


def _sold_before(tokens: list[Token], at: int) -> bool:
    """Same as the one you sent me in May: of an order long ago, not of a window of this message."""
    for token in tokens[at + 1 : at + 9]:
        if token.kind in ("line", "gap") or token.text in _STOPS - {"-", "("}:
            return False
        if token.text in _SOLD:
            return True
    return False


def _unknown(at: int) -> Mark:
    """A window that was not named, or not before: which one is meant is for the clerk to say."""
    return Mark("unknown", "", at, at)


def _names(tokens: list[Token], at: int, ends: set[int]) -> bool:
    """Whether what stands before on the line is only a window's name or its number in a list."""
    while at and at not in ends and tokens[at - 1].text in _LINK:
        at -= 1
    return at in ends


def _ends_there(tokens: list[Token], at: int, places: frozenset[str]) -> bool:
    """Whether a line that says "same" says nothing more, or only how many and in which finish."""
    if at >= len(tokens) or tokens[at].kind in ("line", "gap", "number"):
        return True
    return tokens[at].text in _STOPS | _WHOLE | _GOES_ON | places


def _line_of_its_own(tokens: list[Token], at: int, ends: set[int]) -> bool:
    """Whether "same" begins a line, or comes right after a window's name or list number."""
    return (at > 0 and tokens[at - 1].kind in ("line", "gap")) or at in ends


def _dittos(tokens: list[Token], at: int, ends: set[int], places: frozenset[str]) -> int:
    """Where ditto marks end that stand where a window would be described; 0 if there are none."""
    begins = at > 0 and tokens[at - 1].kind in ("line", "gap")
    if tokens[at].text not in _DITTO or not (begins or _names(tokens, at, ends)):
        return 0
    last = at
    while last < len(tokens) and tokens[last].text in _DITTO | {"-", ","}:
        last += 1
    quotation = last < len(tokens) and tokens[last].kind == "word" and tokens[last].glued
    return last if not quotation and _ends_there(tokens, last, places) else 0


def _like(
    tokens: list[Token], at: int, labels: dict[int, Mark], known: dict[str, int], ends: set[int]
) -> bool:
    """Whether "as" alone says the same: as flat 2, as above."""
    fresh = (
        at == 0
        or tokens[at - 1].text in (":", "-", ",", "|")
        or tokens[at - 1].kind in ("line", "gap")
        or at in ends
    )
    above = at + 1 < len(tokens) and tokens[at + 1].text in ("above", "before")
    return fresh and (above or _source(tokens, at, labels, known) is not None)


def _source(
    tokens: list[Token], at: int, labels: dict[int, Mark], known: dict[str, int]
) -> Mark | None:
    """The window named right after "same as" or "as", if it was named before."""
    for here in range(at + 1, min(at + 6, len(tokens))):
        before = tokens[here - 1].text
        if tokens[here].text == "." and before == "no":
            continue  # same as no. 2
        if tokens[here].kind in ("line", "gap") or tokens[here].text in _STOPS:
            return None
        if here in labels:
            return labels[here]
        if known.get(tokens[here].text, at) < at and before in NUMBERED | {"as", "."}:
            return Mark("number", tokens[here].text, here - (before in NUMBERED), here + 1)
    return None


def _named_before(tokens: list[Token], at: int, marks: list[Mark]) -> bool:
    """Whether a window was named shortly before: bath: same."""
    for mark in marks:
        if 0 <= at - mark.last <= 4 and mark.firm:
            return all(token.text in _LINK | {","} for token in tokens[mark.last : at])
    return False


def _valued(tokens: list[Token], mention: Mention, taken: set[int]) -> bool:
    """Whether its amount stands before the mention: 17 3/8 for the top glass."""
    for at in range(mention.first - 1, max(-1, mention.first - 5), -1):
        if at in taken or tokens[at].kind != "word":
            return at in taken
    return False


def _has_amount(tokens: list[Token], mention: Mention, taken: set[int]) -> bool:
    for at in range(mention.last, min(mention.last + 4, len(tokens))):
        if at in taken:
            return True
        if tokens[at].text not in _LINK | {"at", "height"}:
            return False
    return False


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
