"""What an order and its lines can be, what may happen to them, and who may do it. Pure: knows no Django
and no database. What events make of an order is `ordering.replay`.

A line's pieces go one way, from the factory over the shop's dock to the customer; they may leave in
parts, so a line counts its pieces and its step is that of the last of them:

    placed -> sent to factory -> acknowledged -> being made -> left the factory -> at our dock
    -> handed over

A line without a factory comes from the shop's own shelf: placed -> at our dock -> handed over.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from sizing.wording import N_


class Words(StrEnum):
    """Names with the words that people read."""

    words: str

    def __new__(cls, value: str, words: str) -> Words:
        member = str.__new__(cls, value)
        member._value_, member.words = value, words
        return member

    @classmethod
    def choices(cls) -> list[tuple[str, str]]:
        return [(member.value, member.words) for member in cls]


class Step(Words):
    PLACED = "placed", "Placed"
    SENT = "sent", "Sent to the factory"
    ACKNOWLEDGED = "acknowledged", "Acknowledged"
    MAKING = "making", "Being made"
    LEFT = "left", "Left the factory"
    DOCK = "dock", "At our dock"
    HANDED = "handed", "Handed over"
    HELD = "held", "On hold"
    CANCELLED = "cancelled", "Cancelled"
    AGAIN = "again", "Made again"


class Act(Words):
    PLACED = "placed", N_("Placed")
    SENT = "sent", N_("Sent to the factory")
    ACKNOWLEDGED = "acknowledged", N_("Acknowledged by the factory")
    PROMISED = "promised", N_("Date confirmed")
    MOVED = "moved", N_("Date moved")
    MAKING = "making", N_("Making begun")
    REFUSED = "refused", N_("The factory can't make it")
    LEFT = "left", N_("Left the factory")
    ARRIVED = "arrived", N_("Arrived at our dock")
    HANDED = "handed", N_("Handed over")
    HELD = "held", N_("Put on hold")
    RELEASED = "released", N_("Released")
    CANCELLED = "cancelled", N_("Cancelled")
    REMADE = "remade", N_("Made again")
    WINDOW = "window", N_("Window moved")
    LATE = "late", N_("Delay told")
    DEPOSIT = "deposit", N_("Deposit received")
    REPAID = "repaid", N_("Deposit paid back")
    NOTED = "noted", N_("Note")
    TAKEN_BACK = "taken_back", N_("Taken back")


class Cause(Words):
    """Why a piece is made a second time."""

    CALLER = "caller", "Wrong measure by the caller"
    DESK = "desk", "Wrong by the desk"
    FACTORY = "factory", "Wrong or broken by the factory"
    CARRIER = "carrier", "Lost or broken by the carrier"


DESK = frozenset({"counter", "manager", "owner"})
ANYBODY = DESK | {"staff"}
BY_LINK = DESK | {"factory"}
# Who may do what. "desk" is the product itself, for what it works out by night.
MAY: Mapping[Act, frozenset[str]] = MappingProxyType({
    Act.PLACED: DESK, Act.SENT: DESK, Act.ACKNOWLEDGED: BY_LINK, Act.PROMISED: BY_LINK,
    Act.MOVED: BY_LINK, Act.MAKING: BY_LINK, Act.REFUSED: BY_LINK, Act.LEFT: BY_LINK,
    Act.ARRIVED: ANYBODY, Act.HANDED: ANYBODY, Act.HELD: DESK, Act.RELEASED: DESK, Act.CANCELLED: DESK,
    Act.REMADE: DESK, Act.WINDOW: frozenset({"desk"}), Act.LATE: DESK | {"desk"},
    Act.DEPOSIT: DESK, Act.REPAID: DESK, Act.NOTED: ANYBODY | {"factory"},
    Act.TAKEN_BACK: DESK,
})  # fmt: skip
NEEDS_WHY = frozenset({Act.MOVED, Act.REFUSED, Act.HELD, Act.CANCELLED, Act.TAKEN_BACK, Act.REMADE})
# What is written at once for good: taking these back would leave papers and money without a cause.
STAYS = frozenset({Act.PLACED, Act.SENT, Act.REMADE, Act.TAKEN_BACK, Act.WINDOW, Act.LATE})
# What happens to so many pieces; other acts are told of a whole line.
COUNTED = frozenset({Act.LEFT, Act.ARRIVED, Act.HANDED, Act.CANCELLED, Act.REMADE})


# Nothing of them brings an order to its end or is owed: words, and what begins anew.
_NEW = frozenset({Act.NOTED, Act.REMADE, Act.HELD})


def writable_once_erased(act: Act, is_open: bool) -> bool:
    """Whether an order of a customer who has been erased takes this act: money, which the books need; and what
    brings to its end one that is open, as it is only in a copy from before the erasure."""
    return act in (Act.DEPOSIT, Act.REPAID) or (is_open and act not in _NEW)


class NotAllowed(ValueError):
    """What cannot happen now: one sentence, with what is and how to go on. `box`: the name of the one to mend, where
    it is about what was typed in one."""

    def __init__(self, words: str, box: str = "") -> None:
        super().__init__(words)
        self.box = box


@dataclass(frozen=True)
class Window:
    """When a line is expected to leave the factory, and why, in words."""

    earliest: date
    likely: date
    latest: date
    basis: str = ""

    @property
    def days(self) -> tuple[date, date, date]:
        return self.earliest, self.likely, self.latest

    def still_to_come(self, today: date) -> Window:
        """Without its days that are over, while any is left: what has not left by then leaves on no past day."""
        if self.latest < today:
            return self
        return replace(self, earliest=max(self.earliest, today), likely=max(self.likely, today))


@dataclass(frozen=True)
class Happened:
    """One event. `pieces` is {line's number: how many}; `number` its place in the order's log.

    data, by act: PLACED {"lines": {number: {"quantity", "made"}}}; REMADE {"line": number,
    "quantity", "made", "of", "cause", "lost", "broken"}; PROMISED, MOVED {"promised": {number: ISO date}}; DEPOSIT,
    REPAID {"amount": text}; TAKEN_BACK {"event": number}; any may carry {"windows": {number: [earliest,
    likely, latest, basis]}}, the windows told to the customer with it.
    """

    number: int
    act: Act
    on: date
    pieces: Mapping[int, int] = field(default_factory=dict)
    data: Mapping[str, Any] = field(default_factory=dict)
    why: str = ""
    role: str = "manager"


@dataclass(frozen=True)
class LineState:
    """One line. Counts are of pieces (or pairs, as sold): handed <= arrived <= left <= quantity."""

    quantity: int
    made: bool
    begun: Step = Step.PLACED
    left: int = 0
    arrived: int = 0
    handed: int = 0
    cancelled: int = 0
    # Of those, what was being made: the customer was told that it is not paid back.
    forfeit: int = 0
    # Made again, wherever they were; of those, never to come to our dock, and never to go on from there.
    again: int = 0
    lost: int = 0
    broken: int = 0
    held: bool = False
    # When it was placed; of a line made again, when that was written.
    since: date | None = None
    sent_on: date | None = None
    # When its factory first said that it has it, or gave a date.
    confirmed_on: date | None = None
    # When the last of the pieces left that have.
    last_left_on: date | None = None
    promised_on: date | None = None
    # Whether that is later than what the factory had said before.
    slipped: bool = False
    # Since when its factory says that it can't make it, and its words; until it gives a date after all.
    refused_on: date | None = None
    refused_why: str = ""
    # None, too, of what its factory can't make: nothing that was told of it holds.
    told: Window | None = None
    version: int = 0

    @property
    def going(self) -> int:
        """The pieces still wanted."""
        return self.quantity - self.cancelled

    @property
    def wanted(self) -> int:
        """The pieces of this line that are handed over in the end."""
        return self.going - self.lost - self.broken

    @property
    def to_arrive(self) -> int:
        """The pieces on their way to our dock; of what no factory makes, on the shelf."""
        return max((self.left if self.made else self.going) - self.arrived - self.lost, 0)

    @property
    def ready(self) -> int:
        """The pieces at our dock that can be handed over."""
        # From our own shelf more may have come than is still wanted.
        return min(self.arrived - self.broken, self.wanted) - self.handed

    @property
    def can_be_made_again(self) -> int:
        """The pieces there are: on their way to us, at our dock, with the customer; none is made again twice."""
        there = self.handed + self.ready + (self.to_arrive if self.made else 0)
        # The others are no longer among what is there. Logs from before this was kept may say more than there were.
        return max(there - (self.again - self.lost - self.broken), 0)

    def spoiled(self, count: int, cause: Cause) -> dict[str, int]:
        """Of `count` pieces made again, how many are lost on the way and broken at our dock, as the log
        keeps it; the rest the customer has. What the carrier lost or broke is looked for on the way first."""
        on_the_way = self.to_arrive if self.made else 0
        if cause is Cause.CARRIER:
            lost = min(count, on_the_way)
            broken = min(count - lost, self.ready)
        else:
            broken = min(count, self.ready)
            lost = min(count - broken, on_the_way)
        return {"lost": lost, "broken": broken}

    @property
    def left_on(self) -> date | None:
        """When it was gone: the day on which the last of the pieces left that still go."""
        return self.last_left_on if self.left == self.going else None

    @property
    def is_begun(self) -> bool:
        """Whether the factory makes it, or has: from here on only the manager cancels, and nothing is paid back. What
        it can't make after all is not lost to the customer."""
        return not self.is_refused and (self.begun is Step.MAKING or self.left > 0)

    @property
    def can_be_cancelled(self) -> int:
        """The pieces that have not left for the customer yet."""
        return self.going - (self.left if self.made else self.handed + self.broken)

    @property
    def step(self) -> Step:
        if not self.going:
            return Step.CANCELLED
        if self.handed == self.wanted:
            return Step.HANDED if self.handed else Step.AGAIN
        if self.held:
            return Step.HELD
        if self.arrived + self.lost >= self.going:
            return Step.DOCK
        return Step.LEFT if self.left == self.going and self.made else self.begun

    @property
    def is_open(self) -> bool:
        return self.step not in (Step.HANDED, Step.CANCELLED, Step.AGAIN)

    @property
    def awaits_factory(self) -> bool:
        """Whether pieces of it are still to leave the factory."""
        return self.made and self.left < self.going

    @property
    def is_refused(self) -> bool:
        """Whether its factory says that it can't make what is still to leave it."""
        return self.refused_on is not None and self.awaits_factory

    @property
    def is_expected(self) -> bool:
        """Whether anything of it is still expected of its factory; asked of the database it is
        `models.orders.STILL_EXPECTED`."""
        return self.awaits_factory and not self.is_refused

    @property
    def has_a_day(self) -> bool:
        """Whether a day can be named on which the rest of it leaves its factory: how long it is held, nobody knows."""
        return self.is_expected and not self.held

    @property
    def words(self) -> str:
        """The step and what else is true: "Being made; 2 of 5 have left the factory"."""
        said = [self.step.words]
        of = f"of {self.going}"
        if self.held and self.step is Step.HELD:
            said.append(f"was {self.begun.words.lower()}")
        if self.is_refused:
            said.append("the factory can't make it")
        if 0 < self.left < self.going:
            said.append(f"{self.left} {of} left the factory")
        if self.broken < self.arrived < self.going:
            said.append(f"{self.arrived - self.broken} {of} at our dock")
        if 0 < self.handed < self.going:
            said.append(f"{self.handed} {of} handed over")
        if 0 < self.lost + self.broken < self.going:
            said.append(f"{self.lost + self.broken} {of} made again")
        if self.cancelled and self.going:
            said.append(f"{self.cancelled} cancelled")
        return "; ".join(said)


@dataclass(frozen=True)
class OrderState:
    """All lines of an order by number, the deposit received and not paid back so far, the number of its last event."""

    lines: Mapping[int, LineState] = field(default_factory=dict)
    version: int = 0
    paid: Decimal = Decimal(0)

    @property
    def is_open(self) -> bool:
        return any(line.is_open for line in self.lines.values())
