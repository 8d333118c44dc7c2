"""One window as it takes shape: what was placed in it so far, and how it is wanted."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from quotes.messages.amounts import Amount
from quotes.messages.counted import Count
from quotes.messages.pieces import Finish, Portions


@dataclass
class Placed:
    """One value of one measure, and the stretch of the message it came from."""

    value: Decimal
    amount: Amount
    start: int
    end: int
    copied: bool = False


@dataclass
class Draft:
    """One window as it takes shape. `either` holds glass heights said of neither sash."""

    labels: set[str] = field(default_factory=set)
    values: dict[str, list[Placed]] = field(default_factory=dict)
    either: list[Placed] = field(default_factory=list)
    counts: list[Count] = field(default_factory=list)
    finishes: list[Finish] = field(default_factory=list)
    # How many of it go where, and the line that says so.
    portions: Portions | None = None
    portions_line: int = -1
    finish_copied: bool = False
    # Whether it was counted before anything of it was measured.
    counted_first: bool = False
    # Whether its room was named after its count: two windows: kitchen ..., bath ...
    room_follows: bool = False
    line: int = -1

    @property
    def empty(self) -> bool:
        return not (self.values or self.either)

    @property
    def waits(self) -> bool:
        """Whether so many in such a finish were asked for, and the sizes are still to come."""
        return self.empty and bool(self.counts and self.finishes)

    def holds(self, amount: Amount) -> bool:
        """Whether the same number was already placed in this window."""
        placed = [p for some in self.values.values() for p in some] + self.either
        return any(p.amount.said == amount.said for p in placed)

    def has(self, codes: set[str], glass: set[str]) -> bool:
        """Whether one of these measures was already said of this window."""
        return bool(codes & set(self.values) or (self.either and codes & glass))
