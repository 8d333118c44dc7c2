"""Counts of windows, and those whose number is a word or stands beside one: a pair, a couple, 4 pr, a few."""

from __future__ import annotations

from dataclasses import dataclass

from quotes.messages.amounts import Amount
from quotes.messages.scan import Token

PAIRS = {"pair", "pairs", "pr", "prs"}
_VAGUE = {"few", "several", "some", "many", "bunch"}


@dataclass
class Count:
    """How many windows. `total` may still turn out to be the sum of what follows."""

    number: int
    first: int
    last: int
    start: int
    end: int
    doubt: bool = False
    corrects: bool = False
    every: bool = False
    # Whether it may begin the talk of a window (2 windows with ...), not end it (qty 2).
    leads: bool = True
    # How many there are, not how many are wanted: there are nine windows like this.
    stock: bool = False
    # How many there are in all, said after the windows themselves: 7 windows in total.
    overall: bool = False


@dataclass
class Sorted:
    """Amounts that may be measures, counts of windows, and doubtful words about counts."""

    measures: list[Amount]
    counts: list[Count]
    vague: list[tuple[int, int]]


def one_in_all(counts: list[Count]) -> None:
    """Two sums in one message are of a window each: den 4 in total, hall 3 in total."""
    sums = [count for count in counts if count.overall]
    for count in sums if len(sums) > 1 else ():
        count.overall = False


def counts_in_a_row(tokens: list[Token], found: Sorted) -> None:
    """Qty 1, 2, 1: as many counts as windows, it seems, but which is whose is for the clerk to say."""
    for count in [*found.counts]:
        last = count.last
        while _goes_on(tokens, last):
            last += 2
        ends = (
            last == len(tokens) or tokens[last].kind in ("line", "gap") or tokens[last].text == "."
        )
        if last > count.last and ends and not count.leads:
            row = range(count.first, last)
            found.counts = [each for each in found.counts if each.first not in row]
            found.measures = [amount for amount in found.measures if amount.first not in row]
            found.vague.append((count.start, tokens[last - 1].end))


def _goes_on(tokens: list[Token], at: int) -> bool:
    mark, number = [*(token.text for token in tokens[at : at + 2]), "", ""][:2]
    return mark in (",", "/", "and", "&") and number.isdecimal() and len(number) < 4


def _windows_named(tokens: list[Token], at: int) -> bool:
    """Both windows, all three: how many there are in all, or of this size?"""
    follow = [token.text for token in tokens[at + 1 : at + 3]]
    spelled = {"two", "three", "four", "five", "six"}
    if tokens[at].text == "both":
        return follow[:1] in (["windows"], ["openings"])
    return bool(spelled & set(follow[:1])) and follow[1:] in (
        [":"],
        ["are"],
        ["have"],
        ["windows"],
        [],
    )


def named_counts(tokens: list[Token], found: Sorted) -> None:
    """A pair of windows, a couple, 4 pr, a few: counts whose number is a word."""
    used = {count.first for count in found.counts}
    by_end = {amount.last: amount for amount in found.measures if amount.kind == "integer"}
    for at, token in enumerate(tokens):
        if token.text in PAIRS:
            before, number, first = by_end.get(at), 1, at
            follow = {t.text for t in tokens[at + 1 : at + 5]}
            if before:
                number, first = before.whole, before.first
                found.measures.remove(before)
            elif at and tokens[at - 1].text in ("a", "one", "1", "another", "the", "need"):
                first = at - 1 if tokens[at - 1].text != "need" else at
            windows = follow & {"windows", "these", "those", "them", "openings"}
            number *= (
                2 if windows or (not before and not follow & {"liners", "parts", "balances"}) else 1
            )
            doubt = not windows
            found.counts.append(Count(number, first, at + 1, tokens[first].start, token.end))
            if doubt:
                found.vague.append((tokens[first].start, token.end))
        elif token.text == "couple" and at not in used:
            first = at - 1 if at and tokens[at - 1].text in ("a", "the") else at
            found.counts.append(Count(2, first, at + 1, tokens[first].start, token.end))
        elif token.text in ("both", "all") and not used and _windows_named(tokens, at):
            found.vague.append((token.start, tokens[at + 1].end))
        elif token.text in _VAGUE:
            near = {t.text for t in tokens[at + 1 : at + 4]}
            if near & {"windows", "liners", "units", "sets", "openings"}:
                found.vague.append((token.start, token.end))
    found.counts.sort(key=lambda count: count.first)
