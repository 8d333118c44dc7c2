"""What may happen to an order and what it then is. Pure: knows no Django and no database.

An order is what its events make of it: `replay` takes them in order and gives the state of each
line. A line's pieces go one way, from the factory over the shop's dock to the customer; they may
leave in parts, so a line counts its pieces and its step is that of the last of them:

    placed -> sent to factory -> acknowledged -> being made -> left the factory -> at our dock
    -> handed over

A line without a factory comes from the shop's own shelf: placed -> at our dock -> handed over.
`on hold` stops what the shop would do next, but never a fact: what a factory has shipped has left,
whatever the shop wished. Nothing here is undone; an event written by mistake is taken back by
another one, and the order is then what the remaining events make of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
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


class Act(Words):
    PLACED = "placed", N_("Placed")
    SENT = "sent", N_("Sent to the factory")
    ACKNOWLEDGED = "acknowledged", N_("Acknowledged by the factory")
    PROMISED = "promised", N_("Date confirmed")
    MOVED = "moved", N_("Date moved")
    MAKING = "making", N_("Making begun")
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
    Act.MOVED: BY_LINK, Act.MAKING: BY_LINK, Act.LEFT: BY_LINK, Act.ARRIVED: ANYBODY,
    Act.HANDED: ANYBODY, Act.HELD: DESK, Act.RELEASED: DESK, Act.CANCELLED: DESK,
    Act.REMADE: DESK, Act.WINDOW: frozenset({"desk"}), Act.LATE: DESK | {"desk"},
    Act.DEPOSIT: DESK, Act.NOTED: ANYBODY, Act.TAKEN_BACK: DESK,
})  # fmt: skip
NEEDS_WHY = frozenset({Act.MOVED, Act.HELD, Act.CANCELLED, Act.TAKEN_BACK, Act.REMADE})
# What is written at once for good: taking these back would leave papers and money without a cause.
STAYS = frozenset({Act.PLACED, Act.SENT, Act.REMADE, Act.TAKEN_BACK, Act.WINDOW, Act.LATE})
_BEFORE_LEAVING = (Step.PLACED, Step.SENT, Step.ACKNOWLEDGED, Step.MAKING)


class NotAllowed(ValueError):
    """What cannot happen now: one sentence, with what is and how to go on."""


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


@dataclass(frozen=True)
class Happened:
    """One event. `pieces` is {line's number: how many}; `number` its place in the order's log.

    data, by act: PLACED {"lines": {number: {"quantity", "made"}}}; REMADE {"line": number,
    "quantity", "made", "of", "cause"}; PROMISED, MOVED {"promised": {number: ISO date}}; DEPOSIT
    {"amount": text}; TAKEN_BACK {"event": number}; any may carry {"windows": {number: [earliest,
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
    held: bool = False
    sent_on: date | None = None
    left_on: date | None = None
    promised_on: date | None = None
    told: Window | None = None
    # How often a window told was replaced by another: the SEQUENCE of its calendar entry.
    moves: int = 0
    version: int = 0

    @property
    def going(self) -> int:
        """The pieces still wanted."""
        return self.quantity - self.cancelled

    @property
    def step(self) -> Step:
        if not self.going:
            return Step.CANCELLED
        if self.handed == self.going:
            return Step.HANDED
        if self.held:
            return Step.HELD
        if self.arrived == self.going:
            return Step.DOCK
        return Step.LEFT if self.left == self.going and self.made else self.begun

    @property
    def is_open(self) -> bool:
        return self.step not in (Step.HANDED, Step.CANCELLED)

    @property
    def awaits_factory(self) -> bool:
        """Whether pieces of it are still to leave the factory."""
        return self.made and self.left < self.going

    @property
    def words(self) -> str:
        """The step and what else is true: "Being made; 2 of 5 have left the factory"."""
        said = [self.step.words]
        of = f"of {self.going}"
        if self.held and self.step is Step.HELD:
            said.append(f"was {self.begun.words.lower()}")
        if 0 < self.left < self.going:
            said.append(f"{self.left} {of} left the factory")
        if 0 < self.arrived < self.going:
            said.append(f"{self.arrived} {of} at our dock")
        if 0 < self.handed < self.going:
            said.append(f"{self.handed} {of} handed over")
        if self.cancelled and self.going:
            said.append(f"{self.cancelled} cancelled")
        return "; ".join(said)


@dataclass(frozen=True)
class OrderState:
    """All lines of an order by number, the deposit received so far, the number of its last event."""

    lines: Mapping[int, LineState] = field(default_factory=dict)
    version: int = 0
    paid: Decimal = Decimal(0)

    @property
    def is_open(self) -> bool:
        return any(line.is_open for line in self.lines.values())


def replay(events: Iterable[Happened]) -> OrderState:
    """The order that these events, in the order they were written, have made. Raises NotAllowed."""
    events = list(events)
    back = {int(e.data["event"]) for e in events if e.act is Act.TAKEN_BACK}
    state = OrderState()
    for event in events:
        state = (
            replace(state, version=event.number) if event.number in back else after(state, event)
        )
    return state


def after(state: OrderState, event: Happened) -> OrderState:
    """The order after one more event. Raises NotAllowed with the sentence that says why not."""
    _check(event)
    lines = dict(state.lines)
    if event.act is Act.PLACED:
        lines = {
            int(number): LineState(line["quantity"], line["made"])
            for number, line in event.data["lines"].items()
        }
    elif event.act is Act.REMADE:
        lines[event.data["line"]] = LineState(event.data["quantity"], event.data["made"])
    touched = set(event.pieces)
    for number, count in event.pieces.items():
        if number not in lines:
            raise NotAllowed(f"There is no line {number} in this order.")
        try:
            lines[number] = _STEPS.get(event.act, _same)(lines[number], count, event, number)
        except NotAllowed as problem:
            raise NotAllowed(f"Line {number}: {problem}") from None
    for number, window in event.data.get("windows", {}).items():
        lines[int(number)] = _told(lines[int(number)], window)
        touched.add(int(number))
    if event.act in (Act.PLACED, Act.REMADE):
        touched |= set(lines) - set(state.lines)
    for number in touched:
        lines[number] = replace(lines[number], version=event.number)
    paid = state.paid
    if event.act is Act.DEPOSIT:
        paid += Decimal(event.data["amount"])
    return OrderState(lines, event.number, paid)


def _check(event: Happened) -> None:
    if event.role not in MAY[event.act]:
        who = " or ".join(sorted(MAY[event.act] - {"desk"})) or "the desk itself"
        raise NotAllowed(f"“{event.act.words}” is for {who}.")
    if event.act in NEEDS_WHY and not event.why.strip():
        raise NotAllowed(
            f"“{event.act.words}” needs its reason: it is kept in the order's history."
        )


def _told(line: LineState, window: Iterable[str]) -> LineState:
    *days, basis = window
    earliest, likely, latest = map(date.fromisoformat, days)
    told = Window(earliest, likely, latest, basis)
    moved = line.told is not None and line.told.days != told.days
    return replace(line, told=told, moves=line.moves + moved)


def _same(line: LineState, count: int, event: Happened, number: int) -> LineState:
    return line


def _sent(line: LineState, count: int, event: Happened, number: int) -> LineState:
    if not line.made:
        raise NotAllowed("comes from our own shelf; there is no factory to send it to.")
    if line.held:
        raise NotAllowed("is on hold: release it first.")
    _from(line, Step.PLACED)
    return replace(line, begun=Step.SENT, sent_on=event.on)


def _acknowledged(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _from(line, Step.SENT)
    return replace(line, begun=Step.ACKNOWLEDGED)


def _promised(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _from(line, Step.SENT, Step.ACKNOWLEDGED, Step.MAKING)
    on = date.fromisoformat(event.data["promised"][str(number)])
    if event.act is Act.PROMISED and line.promised_on not in (None, on):
        raise NotAllowed(f"has a date already, {line.promised_on}: move it and say why.")
    if event.act is Act.MOVED and line.promised_on in (None, on):
        raise NotAllowed("has no other date that could be moved.")
    begun = Step.ACKNOWLEDGED if line.begun is Step.SENT else line.begun
    return replace(line, begun=begun, promised_on=on)


def _making(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _from(line, Step.SENT, Step.ACKNOWLEDGED)
    return replace(line, begun=Step.MAKING)


def _left(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _from(line, Step.SENT, Step.ACKNOWLEDGED, Step.MAKING)
    if line.sent_on and event.on < line.sent_on:
        raise NotAllowed(f"cannot have left before it was sent to the factory on {line.sent_on}.")
    left = line.left + _count(count, line.going - line.left, "still to leave the factory")
    return replace(line, left=left, left_on=event.on if left == line.going else None)


def _arrived(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _not_cancelled(line)
    waiting = (line.left if line.made else line.going) - line.arrived
    words = "on the way to our dock" if line.made else "still to be put on our dock"
    return replace(line, arrived=line.arrived + _count(count, waiting, words))


def _handed(line: LineState, count: int, event: Happened, number: int) -> LineState:
    if line.held:
        raise NotAllowed("is on hold: release it before it is handed over.")
    waiting = line.arrived - line.handed
    return replace(line, handed=line.handed + _count(count, waiting, "at our dock"))


def _held(line: LineState, count: int, event: Happened, number: int) -> LineState:
    if not line.is_open or line.held:
        raise NotAllowed(f"is {line.step.words.lower()} already.")
    return replace(line, held=True)


def _released(line: LineState, count: int, event: Happened, number: int) -> LineState:
    if not line.held:
        raise NotAllowed("is not on hold.")
    return replace(line, held=False)


def _cancelled(line: LineState, count: int, event: Happened, number: int) -> LineState:
    """Cancels what has not left the factory; once it is being made only the manager may."""
    gone = line.left if line.made else line.handed
    if line.going == gone:
        raise NotAllowed(
            f"is {line.step.words.lower()}: nothing of it is left to cancel. "
            "If it is wrong, have it made again."
        )
    if line.begun is Step.MAKING or line.left:
        if event.role not in ("manager", "owner"):
            raise NotAllowed("is being made: from here on only the manager cancels.")
        if not event.data.get("no_return"):
            raise NotAllowed(
                "is made to order and being made: tick that the customer was told it can be neither "
                "returned nor paid back."
            )
    return replace(line, cancelled=line.quantity - gone, held=False)


def _remade(line: LineState, count: int, event: Happened, number: int) -> LineState:
    gone = line.left if line.made else line.arrived
    if number == event.data["line"]:
        return line
    if not gone:
        raise NotAllowed("has not been made yet: change or cancel it instead.")
    if not 1 <= count <= gone:
        raise NotAllowed(f"{count} cannot be made again: {gone} have been made so far.")
    return line


def _from(line: LineState, *steps: Step) -> None:
    _not_cancelled(line)
    if line.left and line.left == line.going:
        raise NotAllowed(f"is {line.step.words.lower()} already.")
    if line.begun not in steps:
        raise NotAllowed(f"is {line.begun.words.lower()} at present.")


def _not_cancelled(line: LineState) -> None:
    if not line.going:
        raise NotAllowed("is cancelled.")


def _count(count: int, most: int, words: str) -> int:
    if not 1 <= count <= most:
        raise NotAllowed(
            f"{count} cannot be: {most or 'none'} {'is' if most == 1 else 'are'} {words}."
        )
    return count


_STEPS = {
    Act.SENT: _sent, Act.ACKNOWLEDGED: _acknowledged, Act.PROMISED: _promised,
    Act.MOVED: _promised, Act.MAKING: _making, Act.LEFT: _left, Act.ARRIVED: _arrived,
    Act.HANDED: _handed, Act.HELD: _held, Act.RELEASED: _released, Act.CANCELLED: _cancelled,
    Act.REMADE: _remade,
}  # fmt: skip


def open_acts(line: LineState, role: str) -> list[Act]:
    """What this role could write of this line now, in the order of the work (for a page's buttons)."""
    found = []
    for act in (
        Act.MAKING,
        Act.LEFT,
        Act.ARRIVED,
        Act.HANDED,
        Act.HELD,
        Act.RELEASED,
        Act.CANCELLED,
    ):
        try:
            event = Happened(0, act, date.max, {1: 1}, {"no_return": True}, "reason", role)
            after(OrderState({1: line}), event)
        except NotAllowed:
            continue
        found.append(act)
    return found
