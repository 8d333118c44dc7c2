"""What each amount was said of: names beside it, corrections before it, weights that need no name."""

from __future__ import annotations

from itertools import pairwise

from quotes.messages import doubts
from quotes.messages.amounts import Amount
from quotes.messages.attach import Join, join
from quotes.messages.sashes import both_sashes, second_readings
from quotes.messages.scan import Token
from quotes.messages.words import Mention, Vocabulary


def measured(
    words: Vocabulary, found: list[Token], sentence: list[int], measures: list[Amount],
    talk: list[Mention], turned: dict[int, tuple[Amount, int]],
) -> list[Join]:  # fmt: skip
    """Amounts joined to what they were said of; bare corrections stay for what they correct."""
    for first in doubts.denied(found, talk, sentence):
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
            lone and not (follows and before.gone is False and _plain_to(found, amount, starts))
        ) or (id(amount) in second and not follows):
            bare.append(amount)
        else:
            rest.append(amount)
    joins = join(found, rest, talk, sentence)
    joins += [Join(amount) for amount in bare]
    second_readings(found, joins)
    both_sashes(sentence, joins, talk)
    joins = [_weighed(words, j, found, sentence) for j in joins]
    return sorted(joins, key=lambda j: j.amount.first)


def _weighed(words: Vocabulary, said: Join, found: list[Token], sentence: list[int]) -> Join:
    """A weight needs no name where the family has one weight; of two sashes or a box it is in doubt."""
    weights = words.weight
    on_weight = any(set(m.codes) & set(weights) for m in said.mentions)
    if said.amount.kind != "weight" and not on_weight:
        return said
    here = sentence[min(said.amount.first, len(sentence) - 1)]
    around = {
        found[at].text
        for at in range(max(0, said.amount.first - 12), min(len(found), said.amount.last + 5))
        if sentence[at] == here
    }
    if around & {"together", "combined", "total", "box", "package", "carton", "shipment", "glass", "window", "frame"} and not (around & {"sash", "sashes"} and not around & {"together", "combined", "total"}):  # fmt: skip
        said.doubtful = not on_weight or bool(
            around & {"together", "combined", "total", "box", "package"}
        )
    if said.amount.kind == "weight" and len(weights) == 1:
        said.doubtful = bool(around & {"together", "combined", "total", "box", "package"})
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


def _between(edges: list[tuple[int, int]], first: int, last: int) -> bool:
    return any(first <= start and end <= last for start, end in edges)


def _plain_to(found: list[Token], amount: Amount, starts: set[int]) -> bool:
    """Whether a name follows an amount with no stop between them."""
    for at in range(amount.last, min(amount.last + 3, len(found))):
        if at in starts:
            return True
        if found[at].text in (",", ".", ";", "!", "?", "-") or found[at].kind in ("line", "gap"):
            return False
    return False
