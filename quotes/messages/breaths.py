"""What is said in one breath: names side by side (upper and lower glass), and the amounts that answer them in turn."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from itertools import pairwise

from quotes.messages.amounts import Amount
from quotes.messages.scan import Token
from quotes.messages.words import Mention

_JOINERS = {"and", "&", "/", ",", "+", "-"}


@dataclass
class Unit:
    """One or several mentions said in one breath ("upper and lower glass")."""

    mentions: list[Mention]

    @property
    def first(self) -> int:
        return self.mentions[0].first

    @property
    def last(self) -> int:
        return self.mentions[-1].last


def units_of(tokens: list[Token], amounts: list[Amount], mentions: list[Mention]) -> list[Unit]:
    """Mentions with nothing but "and", "&" or "/" between them are said in one breath."""
    units: list[Unit] = []
    named = {edge for mention in mentions for edge in (mention.first, -mention.last)}
    for mention in mentions:
        before = units[-1] if units else None
        between = [t.text for t in tokens[before.last : mention.first]] if before else []
        if before and between and set(between) <= _JOINERS | {"the", "of", "sash"}:
            together = all(m.codes for m in [*before.mentions, mention])
            if together and _one_breath(tokens, amounts, before, mention, set(between), named):
                before.mentions.append(mention)
                continue
        units.append(Unit([mention]))
    return units


def _one_breath(
    tokens: list[Token], amounts: list[Amount], before: Unit, mention: Mention, between: set[str],
    named: set[int],
) -> bool:  # fmt: skip
    """Two sashes of one amount, or names that are followed by as many amounts (respectively)."""
    at = bisect_left(amounts, mention.last, key=lambda a: a.first)
    after = amounts[at : at + 3]
    at = bisect_left(amounts, before.first, key=lambda a: a.first)
    ahead = at > 0 and before.first - 3 <= amounts[at - 1].last <= before.first
    if ahead:
        # An amount with a name of its own is not the one before these.
        last = amounts[at - 1]
        own = any(-edge in named for edge in range(last.first - 3, last.first + 1))
        ahead = not (own or named & set(range(last.last, before.first)))
    follow = {t.text for t in tokens[mention.last : after[0].first]} if after else set()
    behind = (
        bool(after)
        and after[0].first - mention.last <= 3
        and not follow & {"-", ",", ".", ";", ")", "\n"}
        and not (follow & {"with", "and", "&"} and after[0].last in named)
    )
    one, two = before.mentions[0], mention
    pair = len(before.mentions) == 1 and (one.parts ^ two.parts) - {"both"} == {"upper", "lower"}
    apart = one.parts | two.parts >= {"upper", "lower"} and (one.bare or two.bare)
    twins = pair or (apart and (one.parts | two.parts) <= {"upper", "lower", "glass", "both"})
    if twins and between & {"and", "&", "/", "+"} and not (ahead and behind):
        return True
    if not behind or len(after) < 2:
        return False
    gap = {t.text for t in tokens[after[0].last : after[1].first]}
    return bool(gap) and gap <= _JOINERS


def batches_of(tokens: list[Token], amounts: list[Amount], units: list[Unit]) -> list[list[Amount]]:
    """Amounts in the order of a breath of mentions before them go together; the rest go alone."""
    batches: list[list[Amount]] = []
    firsts = {unit.first for unit in units}
    starts = sorted(units, key=lambda unit: unit.last)
    at = 0
    while at < len(amounts):
        amount = amounts[at]
        while len(starts) > 1 and starts[1].last <= amount.first:
            starts.pop(0)
        unit = starts[0] if starts and starts[0].last <= amount.first else None
        size = _breath(tokens, amounts, at, unit, firsts) if unit else 1
        batches.append(amounts[at : at + size])
        at += size
    return batches


def _breath(
    tokens: list[Token], amounts: list[Amount], at: int, unit: Unit, firsts: set[int]
) -> int:
    """How many amounts from `at` on answer the mentions of a unit one by one."""
    wanted = len(unit.mentions)
    if wanted == 1 and unit.mentions[0].sense in ("either", "each"):
        wanted = 2
    if wanted < 2 or (at and amounts[at - 1].first >= unit.last):
        return 1
    run = amounts[at : at + wanted]
    if len(run) < wanted or any(a.unit in ("lb", "kg") for a in run):
        return 1
    for one, two in pairwise(run):
        between = {t.text for t in tokens[one.last : two.first]}
        if not between or not between <= _JOINERS | {"the", "is"}:
            return 1
    follow = tokens[run[-1].last].text if run[-1].last < len(tokens) else ""
    at = run[-1].last
    while at < len(tokens) and tokens[at].text in ("for", "on", "the", "at", "in", "height", "of"):
        at += 1
    if at in firsts:
        return 1  # the last of them has a name of its own
    if len(unit.mentions) == 1 and follow in ("x", "by", "opening"):
        return 1
    return wanted
