"""Amounts and names in two lists, one after the other: 18, 18 and 42 for top glass, bottom glass and opening."""

from __future__ import annotations

from bisect import bisect_left

from quotes.messages.amounts import Amount
from quotes.messages.attach import Join
from quotes.messages.scan import Token
from quotes.messages.words import Mention

_LIST = {",", "and", "&", "the"}


def in_order(tokens: list[Token], amounts: list[Amount], mentions: list[Mention]) -> list[Join]:
    """Each amount of such a list with the name in the same place, where there are as many of both."""
    found: list[Join] = []
    run: list[Amount] = []
    for amount in amounts:
        listed = run and _between(tokens, run[-1].last, amount.first) <= _LIST
        run = [*run[-5:], amount] if listed else [amount]
        if len(run) < 2 or [t.text for t in tokens[amount.last : amount.last + 1]] != ["for"]:
            continue
        at = bisect_left(mentions, amount.last, key=lambda m: m.first)
        names = mentions[at : at + 1]
        for mention in mentions[at + 1 : at + 6]:
            if not _between(tokens, names[-1].last, mention.first) <= _LIST:
                break
            names.append(mention)
        near = bool(names) and names[0].first - amount.last < 3
        if near and len(names) == len(run):
            found += [Join(a, [m]) for a, m in zip(run, names, strict=True)]
    return found


def _between(tokens: list[Token], first: int, last: int) -> set[str]:
    return {token.text for token in tokens[first:last]}
