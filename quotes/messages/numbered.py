"""Lines that begin with a bare number and count up from 1: numbers of a list, where they are no counts."""

from __future__ import annotations

from dataclasses import dataclass, field

from quotes.messages.amounts import Amount
from quotes.messages.counted import Count
from quotes.messages.marks import Mark
from quotes.messages.scan import Token, listed

# What stands after a number that counts: 2 x glass, 3 of size A.
_COUNTING = listed("x of by pair pairs pr prs more or to and")
_SAME = listed("same ditto idem likewise identical")
# So many lines are a list whatever else is said; fewer may as well be one of this and two of that.
_MANY = 3


@dataclass
class Numbered:
    """`marks` are the numbers of the list; `doubtful` the tokens of numbers that may be counts too."""

    marks: list[Mark] = field(default_factory=list)
    doubtful: set[int] = field(default_factory=set)


def begin_lines(tokens: list[Token], taken: set[int]) -> list[int]:
    """Bare numbers that begin lines; `taken` are tokens of measures."""
    return [at for at in range(len(tokens) - 1) if at not in taken and _bare(tokens, at, taken)]


def numbered(
    tokens: list[Token], starts: list[int], sized: list[Amount], counts: list[Count]
) -> Numbered:
    """What such numbers are: a total that the message names decides, then how many lines there are.

    `counts` are what the numbers of the message would count if none were a number of a list.
    """
    nouned = {count.first for count in counts if count.last > count.first + 1}
    counted = {count.first for count in counts}
    starts = [at for at in starts if at not in nouned]  # 1 window in the den
    lines = len(starts)
    if lines < 2 or [int(tokens[at].text) for at in starts] != list(range(1, lines + 1)):
        return Numbered()
    total, told = _total(starts, counts), _each_told(tokens, starts, sized)
    if total == lines * (lines + 1) // 2:
        return Numbered()
    if total == lines or (lines >= _MANY and told):
        return Numbered([Mark("item", tokens[at].text, at, at + 1, False) for at in starts])
    return Numbered(doubtful={at for at in starts[1:] if told and at in counted})


def out_of_line(marked: list[Mark]) -> list[Mark]:
    """List marks whose number counts nothing up, 10 - and then 4 -: they may say how many as well."""
    listed_ = [mark for mark in marked if mark.kind == "item" and mark.label.isdecimal()]
    numbers = [int(mark.label) for mark in listed_]
    return [
        mark
        for at, (mark, number) in enumerate(zip(listed_, numbers, strict=True))
        if number > 1
        and number - 1 not in numbers[max(at - 1, 0) : at]
        and number + 1 not in numbers[at + 1 : at + 2]
    ]


def with_numbered(marked: list[Mark], items: list[Mark]) -> list[Mark]:
    """All marks in their order; a room right after its list number begins a line as well."""
    ends = {item.last for item in items}
    for mark in marked:
        mark.firm |= mark.kind == "room" and mark.first in ends
    return sorted([*marked, *items], key=lambda mark: mark.first)


def _bare(tokens: list[Token], at: int, taken: set[int]) -> bool:
    begins = at == 0 or tokens[at - 1].kind in ("line", "gap")
    token, after = tokens[at], tokens[at + 1]
    short = token.kind == "number" and token.text.isdecimal() and len(token.text) < 3
    told = after.kind == "word" or at + 1 in taken
    return begins and short and told and not after.glued and after.text not in _COUNTING


def _total(starts: list[int], counts: list[Count]) -> int:
    """How many windows are named before the list or as the sum after it; 0 if nobody says."""
    named = [count for count in counts if count.first < starts[0] or count.overall]
    return named[0].number if named else 0


def _each_told(tokens: list[Token], starts: list[int], sized: list[Amount]) -> bool:
    """Whether each line has sizes of its own, or says that they are the same."""
    for at, end in zip(starts, [*starts[1:], len(tokens)], strict=True):
        measured = any(at < a.first < end and (a.kind != "integer" or a.whole > 99) for a in sized)
        if not (measured or {token.text for token in tokens[at:end]} & _SAME):
            return False
    return True
