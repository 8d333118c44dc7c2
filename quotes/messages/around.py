"""One bare whole number of a message: what stands around it, and what else than windows it counts."""

from __future__ import annotations

from quotes.messages.amounts import Amount
from quotes.messages.around_words import (
    ELSE,
    MOST_PANES,
    NOUNS,
)
from quotes.messages.scan import Token


class Around:
    """One bare whole number and what stands around it."""

    def __init__(
        self, tokens: list[Token], amount: Amount, named: set[int], places: frozenset[str],
        tiny: int, starts: dict[int, Amount], ends: dict[int, Amount],
    ) -> None:  # fmt: skip
        self.tokens, self.amount, self.named, self.places = tokens, amount, named, places
        self.tiny, self.starts, self.ends = tiny, starts, ends
        self.number = amount.whole

    def text(self, at: int) -> str:
        inside = 0 <= at < len(self.tokens) and self.tokens[at].kind not in ("line", "gap")
        return self.tokens[at].text if inside else ""

    def after_measure(self, first: int) -> bool:
        """Whether a measure's name comes right before, so that the number is its value."""
        at = first - 1
        while self.text(at) in {":", "=", "is", "-", "at", "are", "of", "("} and at > first - 4:
            at -= 1
        return at in self.named and self.number > self.tiny

    def after_panes(self, at: int) -> int:
        """Where what is counted goes on after its panes: two 12 over 12 windows."""
        one = self.starts.get(at)
        if one is None or self.text(one.last) != "over":
            return at
        two = self.starts.get(one.last + 1)
        return two.last if two and self._few(one, two) else at

    def over(self) -> str:
        """What the number is of a pair with "over" between: "panes" as in 6 over 6, too few for a measure, or
        "sashes" as in 16 over 24 1/4, one's glass over the other's; else nothing."""
        for at in (self.amount.first - 1, self.amount.last):
            if self.text(at) == "over" and at in self.ends and at + 1 in self.starts:
                return "panes" if self._few(self.ends[at], self.starts[at + 1]) else "sashes"
        return ""

    def _few(self, *pair: Amount) -> bool:
        """Whether both are so few that they count panes: three times what is far too small for a measure is about
        the smallest size."""
        most = min(3 * self.tiny, MOST_PANES)
        return all(one.kind == "integer" and one.whole <= most for one in pair)

    def some_of(self) -> bool:
        """Two of the liners, three of our kitchen windows: some of what is there."""
        last = self.amount.last
        near = {self.text(at) for at in range(last + 1, last + 5)}
        return self.text(last) == "of" and bool(near & (NOUNS | {"tracks", "balances", "strips"}))

    def something_else(self) -> bool:
        """Days, rooms, panes and other things nobody orders; "one" as a pronoun."""
        last = self.amount.last
        if self.over() == "sashes":
            return False
        if self.text(last) in ELSE or (self.text(last) == "-" and self.text(last + 1) in ELSE):
            return True
        ranged = self.text(last) in ("-", "to", "or") and self.text(last + 1).isdecimal()
        if ranged and self.text(last + 2) in ELSE:
            return True  # 4-6 weeks
        if self.text(self.amount.first - 1) in ("over", "#") and self.number < MOST_PANES:
            return True
        words = {self.text(last), self.text(last + 1)}
        if self.amount.spelled and self.number < 13:
            return not (self.amount.first - 1 in self.named and self.number > 1)
        return bool(words & ELSE and self.text(last) in {"or", "to", "business", "working", "old"})
