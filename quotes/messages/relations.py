"""What is said of a measure by another one: the opening is twice the glass; the lower is the same plus 1/4. What it
comes to was not worked out, so it is no value and no count: the words stay with the clerk."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from quotes.messages.amounts import Amount
from quotes.messages.scan import Token, listed
from quotes.messages.words import Mention

_FACTORS = {"twice", "double", "triple", "treble", "thrice", "half"}
_TIMES = {"x", "*", "times"}
_SIGNS = {"plus", "minus", "less", "+"}
_IS = {"is", "=", "equals", "are", "was", "be", "measures"}
_LINK = _IS | listed(
    "of : - ( about exactly roughly just almost nearly should would will comes to a little bit over more than "
    "less under slightly height size at ~"
)
_FILLERS = listed(
    "of the its it's my your as high tall big long large much height size what so wie"
)
_THAT = {"that", "this", "it"}
_STOPS = {".", ",", ";", "!", "?", ")"}


@dataclass(frozen=True)
class Relation:
    """A stretch of tokens (last exclusive) and where it stands in the message."""

    first: int
    last: int
    start: int
    end: int

    @property
    def tokens(self) -> range:
        return range(self.first, self.last)


def relations(
    tokens: list[Token], talk: list[Mention], amounts: list[Amount], sentence: list[int]
) -> list[Relation]:
    """All that is said so, in its order. An amount that comes right after one is marked as in doubt: it may be the
    value of either measure."""
    look = _Look(tokens, talk, amounts)
    found: list[Relation] = []
    for at in range(len(tokens)):
        if found and at < found[-1].last:
            continue
        end = look.multiple(at) or look.worked_out(at) or look.the_same_and_more(at)
        if end:
            found.append(Relation(at, end, tokens[at].start, tokens[end - 1].end))
    for one in found:
        _doubt_what_follows(one, talk, amounts, sentence)
    return found


def _doubt_what_follows(
    one: Relation, talk: list[Mention], amounts: list[Amount], sentence: list[int]
) -> None:
    at = bisect_left(amounts, one.last, key=lambda amount: amount.first)
    if at == len(amounts) or sentence[amounts[at].first] != sentence[one.last - 1]:
        return
    if not any(one.last <= mention.first < amounts[at].last + 3 for mention in talk):
        amounts[at].doubt = True


class _Look:
    """A message's tokens, with the measures named and the amounts among them."""

    def __init__(self, tokens: list[Token], talk: list[Mention], amounts: list[Amount]) -> None:
        self.tokens = tokens
        self.named = {mention.first: mention for mention in talk}
        self.ends = {mention.last: mention for mention in talk}
        self.amounts = {amount.first: amount for amount in amounts}
        self.inside = {at for a in amounts for at in range(a.first + 1, a.last)}

    def multiple(self, at: int) -> int:
        """Twice the glass, half of that, 2 x the glass + 7: where it ends; 0 if nothing of the kind begins here."""
        factor = self.text(at)
        amount = self.amounts.get(at)
        if factor in _FACTORS and at not in self.inside:
            after = at + 1
        elif amount and amount.kind == "integer" and self.text(amount.last) in _TIMES:
            after = amount.last + 1
        else:
            return 0
        subject = self._subject(at, _LINK)
        end, told = after, set[str]()
        while self.text(end) in _FILLERS and end < after + 6:
            told.add(self.text(end))
            end += 1
        mention = self.named.get(end)
        # Double glass is glazing, and 2x glass may be ordered: more has to say that a measure is meant.
        if mention and (subject or factor == "twice" or (told and factor in _FACTORS)):
            return self._with_more(mention.last)
        if subject and self.text(end) in _THAT:
            return self._with_more(end + 1)
        if subject and "of" in told and end in self.amounts:
            return self.amounts[end].last  # half of 84
        ends = end == after and self.text(end) in _STOPS | {""}
        glazed = subject and "glass" in subject.parts
        return after if ends and subject and not glazed and factor in _FACTORS else 0

    def worked_out(self, at: int) -> int:
        """The opening is (glass times two plus 7); the lower = (the upper + 1/4)."""
        mention = self.named.get(at)
        if mention is None or not self._subject(at, _IS | {"the"}):
            return 0
        end = mention.last
        factor = self.amounts.get(end + 1)
        if self.text(end) in _TIMES and factor and factor.kind == "integer":
            return self._with_more(factor.last)
        more = self._with_more(end)
        return more if more > end else 0

    def the_same_and_more(self, at: int) -> int:
        """The lower is (the same plus 1/4)."""
        if self.text(at) not in ("same", "equal"):
            return 0
        end = at + 1
        while self.text(end) in _FILLERS | {"to"} and end < at + 5:
            end += 1
        mention = self.named.get(end)
        end = mention.last if mention else end
        more = self._with_more(end)
        return more if more > end else 0

    def text(self, at: int) -> str:
        inside = 0 <= at < len(self.tokens) and self.tokens[at].kind not in ("line", "gap")
        return self.tokens[at].text if inside else ""

    def _subject(self, at: int, link: set[str] | frozenset[str]) -> Mention | None:
        """The measure that is said to be so, with one of the linking words after it at the least."""
        here = at
        while self.text(here - 1) in link and here > at - 7:
            here -= 1
            if here in self.ends:
                return self.ends[here]
        return self.ends.get(here)

    def _with_more(self, end: int) -> int:
        """Where it ends with what is added or taken off: plus 7, + the glass + 7. A row of names without an amount
        is none (upper + lower)."""
        here = last = end
        while self.text(here) in _SIGNS:
            here += 1
            while self.text(here) in _FILLERS:
                here += 1
            mention, amount = self.named.get(here), self.amounts.get(here)
            if amount:
                here = last = amount.last
            elif mention:
                here = mention.last
            else:
                break
        return last
