"""What each amount was said of: names beside it, corrections before it, weights that need no name."""

from __future__ import annotations

from itertools import pairwise

from quotes.messages.amounts import Amount
from quotes.messages.attach import Join, join
from quotes.messages.in_order import in_order
from quotes.messages.sashes import both_sashes, over, second_readings, told_after
from quotes.messages.scan import Token
from quotes.messages.turns import denied
from quotes.messages.words import Mention, Vocabulary

# One weight of several things, and things that are no sash.
_TOGETHER = {"together", "combined", "total", "box", "package", "carton", "shipment"}
_THINGS = {"window", "glass", "pane", "frame", "unit", "whole", "screen", "storm"}


def measured(
    words: Vocabulary, found: list[Token], sentence: list[int], measures: list[Amount],
    talk: list[Mention], turned: dict[int, tuple[Amount, int]],
) -> list[Join]:  # fmt: skip
    """Amounts joined to what they were said of; bare corrections stay for what they correct."""
    for first in denied(found, talk, sentence):
        for mention in talk:
            if mention.first == first:
                mention.sense, mention.codes = "other", ()
    starts = {m.first for m in talk}
    edges = [(m.first, m.last) for m in talk]
    bare: list[Amount] = []
    rest: list[Amount] = []
    second = {id(two) for one, two in pairwise(measures)
              if two.doubt and one.doubt and not _between(edges, one.last, two.first)}  # fmt: skip
    for amount in measures:
        before, cue = turned.get(amount.first, (None, 0))
        lone = before is not None and not _between(edges, cue, amount.first)
        follows = any(at in starts for at in range(amount.last, min(amount.last + 3, len(found))))
        if (
            lone
            and not (follows and before and not before.gone and plain_to(found, amount, starts))
        ) or (id(amount) in second and not follows):
            bare.append(amount)
        else:
            rest.append(amount)
    listed = in_order(found, rest, talk)
    known = {id(j.amount) for j in listed}
    named = {id(m) for j in listed for m in j.mentions}
    joins = listed + join(
        found, [a for a in rest if id(a) not in known], [m for m in talk if id(m) not in named],
        sentence, frozenset(words.weight),
    )  # fmt: skip
    joins += [Join(amount) for amount in bare]
    second_readings(found, joins, sentence, talk)
    both_sashes(sentence, joins, talk)
    over(found, joins, words)
    told_after(found, sentence, joins, talk, words)
    joins = [_weighed(words, _only_length(words, j), found, sentence) for j in joins]
    return sorted(joins, key=lambda j: j.amount.first)


def _only_length(words: Vocabulary, said: Join) -> Join:
    """A length needs no name where the family has one length, if it lies near its sizes."""
    lengths = [k.measure.code for k in words.measures if k.measure.kind == "length"]
    amount = said.amount
    if len(lengths) == 1 and not said.mentions and amount.kind != "weight" and not amount.spelled:
        place = (amount.first, amount.last, amount.start, amount.end)
        said.mentions = [Mention((lengths[0],), "one", *place, bare=True)]
    return said


def _weighed(words: Vocabulary, said: Join, found: list[Token], sentence: list[int]) -> Join:
    """A weight needs no name where the family has one weight; of two sashes or a box it is in doubt."""
    weights = words.weight
    on_weight = any(set(m.codes) & set(weights) for m in said.mentions)
    if said.amount.kind != "weight" and not on_weight:
        return said
    here = sentence[said.amount.first]
    near = range(max(0, said.amount.first - 12), min(len(found), said.amount.last + 5))
    around = {found[at].text for at in near if sentence[at] == here}
    first = min([said.amount.first, *(m.first for m in said.mentions)])
    subject = _subject(found, first)
    said.doubtful = bool(
        around & _TOGETHER or (subject & _THINGS and not subject & {"sash", "sashes"})
    )
    if not on_weight and said.amount.kind == "weight" and len(weights) == 1:
        others = [m for m in said.mentions if m.sense == "other" and not m.bare]
        if not others:
            whole = Mention(
                weights,
                "one",
                said.amount.first,
                said.amount.last,
                said.amount.start,
                said.amount.end,
            )
            said.mentions = [whole]
    return said


def _subject(found: list[Token], first: int) -> set[str]:
    """Up to three words right before a token, with no mark between."""
    words: set[str] = set()
    for token in found[max(0, first - 3) : first][::-1]:
        if token.kind != "word" or token.text == "and":
            break
        words.add(token.text)
    return words


def _between(edges: list[tuple[int, int]], first: int, last: int) -> bool:
    return any(first <= start and end <= last for start, end in edges)


def plain_to(found: list[Token], amount: Amount, starts: set[int]) -> bool:
    """Whether a name follows an amount with no stop between them."""
    for at in range(amount.last, min(amount.last + 3, len(found))):
        if at in starts:
            return True
        if found[at].text in (",", ".", ";", "!", "?", "-") or found[at].kind in ("line", "gap"):
            return False
    return False
