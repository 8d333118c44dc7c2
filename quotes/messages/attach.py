"""Which amount belongs to which mention: the cheapest way to join neighbours, or none if it is close.

Amounts and mentions stand in a row. An amount may join the nearest mention before it or after it;
each join costs by what stands between, staying alone costs a fixed price, and one mention wanted
from both sides costs extra. The cheapest joining of the whole row is taken. An amount whose
second-best choice is nearly as cheap is in doubt.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from quotes.messages.amounts import Amount
from quotes.messages.breaths import Unit, batches_of, units_of
from quotes.messages.scan import Token, listed
from quotes.messages.words import Mention

_SIDES = ("left", "right", "alone")
_FAR = 99.0
_ALONE = 5.0
_SHARED = 3.0
_CLOSE = 0.9
_LIGHT = listed(
    "is are was were be = : at to of a an the it it's its that's that measures measure measured measuring "
    "comes came reads read shows says ( ) - i i'm we got get gets exactly of same height high tall "
    "about in by with from on for my our has have having there this these out up @ * sash they're "
    "they approx inches tape again right see saw make that'd should being size ~ | just good clear he she part still total all his her well now"
)
_PRONOUNS = {
    "it",
    "it's",
    "its",
    "that",
    "that's",
    "this",
    "i",
    "we",
    "they",
    "they're",
    "is",
    "are",
}
_BEFORE = {"for", "on", "of", "in", "at", "is", "=", "the", "(", "to", "high", "tall", "was"}


@dataclass
class Join:
    """An amount and the mentions it was joined to; more than one when it was said of several."""

    amount: Amount
    mentions: list[Mention] = field(default_factory=list)
    doubtful: bool = False


def join(
    tokens: list[Token], amounts: list[Amount], mentions: list[Mention], sentence: list[int],
    weights: frozenset[str],
) -> list[Join]:  # fmt: skip
    """Each amount with what it was said of. `sentence` numbers each token's sentence; `weights`
    are the codes of weights."""
    units = units_of(tokens, amounts, mentions)
    batches = batches_of(tokens, amounts, units)
    left, right = _neighbours(batches, units)
    for batch in batches:
        for near in (left, right):
            if id(batch) in near and not _fits(batch, units[near[id(batch)]], weights):
                del near[id(batch)]
    choices = _choose(tokens, batches, units, left, right, sentence)
    joins: list[Join] = []
    for batch, (side, doubtful) in zip(batches, choices, strict=True):
        which = {"left": left, "right": right}.get(side)
        unit = units[which[id(batch)]] if which else None
        joins += _share(batch, unit, doubtful)
    return joins


def _neighbours(
    batches: list[list[Amount]], units: list[Unit]
) -> tuple[dict[int, int], dict[int, int]]:
    """For each batch (by identity) the index of the nearest unit before and after, if any."""
    left: dict[int, int] = {}
    right: dict[int, int] = {}
    at = 0
    for batch in batches:
        while at < len(units) and units[at].last <= batch[0].first:
            at += 1
        if at:
            left[id(batch)] = at - 1
        if at < len(units):
            right[id(batch)] = at
    for one, two in pairwise(batches):
        # What stands beyond another amount is no neighbour.
        if left.get(id(two)) == left.get(id(one)) and id(two) in left:
            del left[id(two)]
        if right.get(id(one)) == right.get(id(two)) and id(one) in right:
            del right[id(one)]
    return left, right


def _fits(batch: list[Amount], unit: Unit, weights: frozenset[str]) -> bool:
    """Whether amounts and names are of one kind: pounds are no height, inches no weight."""
    codes = {code for mention in unit.mentions for code in mention.codes}
    if any(amount.kind == "weight" for amount in batch):
        return not codes or bool(codes & weights)
    return not codes or not codes <= weights or all(amount.unit is None for amount in batch)


def _choose(
    tokens: list[Token], batches: list[list[Amount]], units: list[Unit],
    left: dict[int, int], right: dict[int, int], sentence: list[int],
) -> list[tuple[str, bool]]:  # fmt: skip
    """The cheapest side for each batch, and whether another would cost nearly the same."""
    costs = _each_side(tokens, batches, units, left, right, sentence)
    shared = [right.get(id(one), -1) == left.get(id(two), -2) for one, two in pairwise(batches)]
    found: list[tuple[str, bool]] = []
    for batch, whole in zip(batches, _of_the_whole(costs, shared), strict=True):
        total = sorted((cost, side) for side, cost in whole.items())
        agree = {total[0][1], total[1][1]} == {"left", "right"} and _same_target(
            batch, units, left, right
        )
        doubtful = total[1 + agree][0] - total[0][0] < _CLOSE and total[0][1] != "alone"
        found.append((total[0][1], doubtful))
    return found


def _each_side(
    tokens: list[Token], batches: list[list[Amount]], units: list[Unit],
    left: dict[int, int], right: dict[int, int], sentence: list[int],
) -> list[dict[str, float]]:  # fmt: skip
    """What it costs each batch by itself to be the name's before it, the one's after it, or nobody's."""
    costs = []
    leads: dict[int, list[Amount]] = {}
    for batch in batches:
        leads.setdefault(sentence[batch[0].first], batch)
    for batch in batches:
        before = after = _FAR
        unit = left.get(id(batch))
        if unit is not None:
            before = _cost(tokens, sentence, units[unit].last, batch[0].first, True)
            before += _weak(tokens[units[unit].last : batch[0].first], units[unit], before > 0.65)
        unit = right.get(id(batch))
        if unit is not None:
            after = _cost(tokens, sentence, batch[-1].last, units[unit].first, False)
            after += 3.0 if units[unit].mentions[0].weak and after > 0.95 else 0.0
        if _names_sash(tokens, sentence, batches, batch, units, left, right):
            before += 3.0
        elif _starts_with_name(leads[sentence[batch[0].first]], units, left, sentence):
            after += 0.8
        else:
            before += 0.8
        costs.append({"left": before, "right": after, "alone": _ALONE})
    return costs


def _of_the_whole(costs: list[dict[str, float]], shared: list[bool]) -> Iterator[dict[str, float]]:
    """For each batch and side, what all of them cost at the least with it; `shared[i]`: the name after batch i is
    the one before the next, and one name for both costs more."""

    def extra(one: int, side: str, other: str) -> float:
        return _SHARED if shared[one] and side == "right" and other == "left" else 0.0

    forward = costs[:1]
    for at in range(1, len(costs)):
        forward.append({
            side: cost + min(forward[-1][o] + extra(at - 1, o, side) for o in _SIDES)
            for side, cost in costs[at].items()
        })  # fmt: skip
    backward = [dict.fromkeys(_SIDES, 0.0) for _ in costs]
    for at in range(len(costs) - 2, -1, -1):
        for side in _SIDES:
            backward[at][side] = min(
                backward[at + 1][o] + costs[at + 1][o] + extra(at, side, o) for o in _SIDES
            )
    for ahead, behind in zip(forward, backward, strict=True):
        yield {side: ahead[side] + behind[side] for side in _SIDES}


def _weak(between: list[Token], unit: Unit, apart: bool) -> float:
    """What it costs more that a name rather says what is ordered: liners for 44 inch windows."""
    if not unit.mentions[0].weak:
        return 0.0
    return _FAR if any(token.text == "for" for token in between) else 3.0 * apart


def _starts_with_name(
    batch: list[Amount], units: list[Unit], left: dict[int, int], sentence: list[int]
) -> bool:
    """Whether the sentence names a measure before its first amount, as most writers go on doing."""
    here = sentence[batch[0].first]
    at = bisect_left(units, here, key=lambda unit: sentence[unit.first])
    named = at < len(units) and sentence[units[at].first] == here
    return units[at].first < batch[0].first if named else id(batch) in left


def _names_sash(
    tokens: list[Token], sentence: list[int], batches: list[list[Amount]], batch: list[Amount],
    units: list[Unit], left: dict[int, int], right: dict[int, int],
) -> bool:  # fmt: skip
    """Glass before, its sash after (the glass is 17 3/8 at the top): the sash says which glass."""
    if id(batch) not in left or id(batch) not in right:
        return False
    before, after = units[left[id(batch)]], units[right[id(batch)]]
    if before.mentions[-1].sense != "either" or not all(m.bare and m.codes for m in after.mentions):
        return False
    last = _ends_row(batches, units, right[id(batch)])
    if last is None:
        return False
    follow = {t.text for t in tokens[last.last : last.last + 1]}
    return (
        not follow & {":", "=", "is"}
        and _cost(tokens, sentence, batch[-1].last, after.first, False) < 1.5
    )


def _ends_row(batches: list[list[Amount]], units: list[Unit], at: int) -> Unit | None:
    """The last of names that each follow their amount (17 top 18 bottom), from the one at `at` on; None where an
    amount ends the row, so that each stands before its own."""
    firsts = {batch[0].first: batch for batch in batches}
    while (batch := firsts.get(units[at].last)) is not None:
        at += 1
        if at == len(units) or units[at].first != batch[-1].last:
            return None
    return units[at]


def _same_target(
    batch: list[Amount], units: list[Unit], left: dict[int, int], right: dict[int, int]
) -> bool:
    """Whether the names on both sides mean the same measure (the old liner is 43 on the long point)."""
    sides = [units[side[id(batch)]].mentions for side in (left, right)]
    return [m.codes for m in sides[0]] == [m.codes for m in sides[1]] and bool(sides[0][0].codes)


def _cost(tokens: list[Token], sentence: list[int], first: int, last: int, before: bool) -> float:
    """How far an amount and a mention are apart, by the tokens between; `before`: mention first."""
    between = tokens[first:last]
    if len(between) > 14:
        return _FAR
    cost = 0.0 if before else 0.35
    for at, token in enumerate(between):
        text = token.text
        if token.kind == "gap":
            return _FAR
        if token.kind == "line":
            cost += 2.0 if before and len(between) <= 2 else 4.0
        elif text == "." and sentence[first + at : first + at + 2] == [sentence[first + at]] * 2:
            cost += 0.1  # the point of an abbreviation
        elif text in (".", "!", "?", ";"):
            follow = between[at + 1].text if at + 1 < len(between) else ""
            cost += 2.0 if before and (follow in _PRONOUNS) else 6.0
            last = at + 1 == len(between) or between[at + 1].kind == "line"
            if text == "?" and before and last and len(between) < 4:
                cost -= 5.7  # the long point? 43 1/2
        elif before and text in (",", "and") and _goes_on(between, at):
            cost += 0.4
        elif text == ",":
            cost += 1.6 if before else 2.6
        elif text in ("and", "&", "/", "+", "but", "plus", "then", "while", "whereas"):
            cost += 2.2 if before else 3.0
        elif text in _LIGHT:
            cost += 0.1
        elif token.kind == "other":
            cost += 2.0
        else:
            cost += 0.5
    if not before and between and between[0].text not in _BEFORE:
        cost += 0.3
    return cost


def _goes_on(between: list[Token], at: int) -> bool:
    """Whether after a comma or "and" the same is still spoken of: ..., and he got 17."""
    follow = [token.text for token in between[at + 1 : at + 4]]
    follow = follow[1:] if follow[:1] == ["and"] else follow
    return bool(follow) and follow[0] in _PRONOUNS | {"he", "she"}


def _share(batch: list[Amount], unit: Unit | None, doubtful: bool) -> list[Join]:
    """A batch with the mentions of its unit: one by one, or one amount for all of them."""
    if unit is None:
        return [Join(amount, [], False) for amount in batch]
    if len(batch) == len(unit.mentions):
        return [Join(a, [m], doubtful) for a, m in zip(batch, unit.mentions, strict=True)]
    if len(batch) == 1:
        return [Join(batch[0], list(unit.mentions), doubtful)]
    return [Join(amount, list(unit.mentions), doubtful) for amount in batch]
