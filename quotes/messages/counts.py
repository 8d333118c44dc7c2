"""Whole numbers that count windows, and numbers that count or name something else."""

from __future__ import annotations

from quotes.messages.amounts import Amount
from quotes.messages.around_words import (
    HOUSE,
)
from quotes.messages.counted import PAIRS, Sorted, counts_in_a_row, named_counts, one_in_all
from quotes.messages.counting import Counting
from quotes.messages.marks import SIDES
from quotes.messages.scan import Token
from quotes.messages.words import Mention


def sort(
    tokens: list[Token], amounts: list[Amount], mentions: list[Mention],
    places: frozenset[str], tiny: int,
) -> Sorted:  # fmt: skip
    """Amounts sorted into measures and counts; whole numbers of other things are dropped.

    `places` are rooms and finishes; a whole number up to `tiny` is too small for any measure.
    """
    named = {
        at for mention in mentions if mention.codes for at in range(mention.first, mention.last)
    }
    starts = {amount.first: amount for amount in amounts}
    ends = {amount.last: amount for amount in amounts}
    found = Sorted([], [], [])
    skip = -1
    for amount in amounts:
        if amount.first < skip:
            continue
        if amount.kind != "integer":
            found.measures.append(amount)
            continue
        look = Counting(tokens, amount, named, places, tiny, starts, ends)
        count = look.count()
        if look.text(amount.last) in PAIRS:
            found.measures.append(amount)
        elif (
            not count
            and amount.whole <= tiny
            and look.text(amount.last) in SIDES | HOUSE | {"for", "to", "go", "goes"}
        ):
            found.vague.append((amount.start, amount.end))  # 2 left, 1 right; 4 for the annexe
        elif count:
            skip = count.last
            found.counts.append(count)
        elif not look.something_else():
            found.measures.append(amount)
        elif amount.spelled and amount.value > 1 and (amount.last in starts or look.some_of()):
            # two 17 3/8 glass: windows or panes? two of the liners: how many are wanted?
            found.vague.append((amount.start, amount.end))
    counts_in_a_row(tokens, found)
    named_counts(tokens, found)
    one_in_all(found.counts)
    return found
