"""What events make of an order: the rules of each step. Pure: knows no Django and no database.

An order is what its events make of it: `replay` takes them in order and gives the state of each line.
`on hold` stops what the shop would do next, but never a fact: what a factory has shipped has left,
whatever the shop wished. Nothing here is undone; an event written by mistake is taken back by another
one, and the order is then what the remaining events make of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from ordering.states import (
    MAY,
    NEEDS_WHY,
    STAYS,
    Act,
    Happened,
    LineState,
    NotAllowed,
    OrderState,
    Step,
    Window,
)
from quotes.days import short_date


def replay(events: Iterable[Happened]) -> OrderState:
    """The order that these events, in the order they were written, have made. Raises NotAllowed."""
    events = list(events)
    for place, event in enumerate(events):
        if event.act is Act.TAKEN_BACK:
            check_back(events[:place], int(event.data["event"]))
    stands = {event.number for event in standing(events)}
    state = OrderState()
    for event in events:
        state = (
            after(state, event) if event.number in stands else replace(state, version=event.number)
        )
    return state


def check_back(log: Iterable[Happened], number: int) -> None:
    """That the event of this number can still be taken back, after these. Raises NotAllowed."""
    log = list(log)
    wrong = next((event for event in log if event.number == number), None)
    if wrong is None or wrong.act in STAYS:
        raise NotAllowed("This one cannot be taken back; write down what is right now.")
    if wrong not in standing(log):
        raise NotAllowed("It was taken back already.")


def standing(events: Iterable[Any]) -> list[Any]:
    """Those that were not taken back; of anything with act, number and data."""
    events = list(events)
    back = {int(event.data["event"]) for event in events if event.act == Act.TAKEN_BACK}
    return [event for event in events if event.number not in back]


def after(state: OrderState, event: Happened) -> OrderState:
    """The order after one more event. Raises NotAllowed with the sentence that says why not."""
    _check(event)
    new = _new_lines(event)
    lines = {**state.lines, **new}
    for number, count in event.pieces.items():
        if number not in lines:
            raise NotAllowed(f"There is no line {number} in this order.")
        try:
            lines[number] = _STEPS.get(event.act, _same)(lines[number], count, event, number)
        except NotAllowed as problem:
            raise NotAllowed(f"Line {number}: {problem}") from None
    windows = _windows(event)
    for number, window in windows.items():
        lines[number] = replace(lines[number], told=window)
    for number in {*new, *event.pieces, *windows}:
        lines[number] = replace(lines[number], version=event.number)
    return OrderState(lines, event.number, _paid(state.paid, event))


def _new_lines(event: Happened) -> dict[int, LineState]:
    """{number: line} of those that begin with this event."""
    said = event.data
    if event.act is Act.PLACED:
        begun = {int(number): line for number, line in said["lines"].items()}
    elif event.act is Act.REMADE:
        begun = {said["line"]: said}
    else:
        begun = {}
    return {
        number: LineState(line["quantity"], line["made"], since=event.on)
        for number, line in begun.items()
    }


def _paid(before: Decimal, event: Happened) -> Decimal:
    paid = before
    if event.act is Act.DEPOSIT:
        paid += Decimal(event.data["amount"])
    elif event.act is Act.REPAID:
        paid -= Decimal(event.data["amount"])
    if paid < 0:
        raise NotAllowed("No more can be paid back than was received.")
    return paid


def _check(event: Happened) -> None:
    if event.role not in MAY[event.act]:
        who = " or ".join(sorted(MAY[event.act] - {"desk"})) or "the desk itself"
        raise NotAllowed(f"“{event.act.words}” is for {who}.")
    if event.act in NEEDS_WHY and not event.why.strip():
        raise NotAllowed(
            f"“{event.act.words}” needs its reason: it is kept in the order's history."
        )


def windows_told(events: Iterable[Happened]) -> dict[int, Window]:
    """{line's number: the window that the customer was told last}, whether or not it still holds."""
    return {number: told for event in standing(events) for number, told in _windows(event).items()}


def _windows(event: Happened) -> dict[int, Window]:
    """{line's number: the window} told with the event."""
    found = {}
    for number, (*days, basis) in event.data.get("windows", {}).items():
        earliest, likely, latest = map(date.fromisoformat, days)
        found[int(number)] = Window(earliest, likely, latest, basis)
    return found


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
    return replace(line, begun=Step.ACKNOWLEDGED, confirmed_on=event.on)


def _promised(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _from(line, Step.SENT, Step.ACKNOWLEDGED, Step.MAKING)
    on = date.fromisoformat(event.data["promised"][str(number)])
    if event.act is Act.PROMISED and line.promised_on and line.promised_on != on:
        raise NotAllowed(
            f"has a date already, {short_date(line.promised_on)}: move it and say why."
        )
    if event.act is Act.MOVED and line.promised_on in (None, on):
        raise NotAllowed("has no other date that could be moved.")
    begun = Step.ACKNOWLEDGED if line.begun is Step.SENT else line.begun
    slipped = line.promised_on is not None and on > line.promised_on
    confirmed = line.confirmed_on or event.on
    return replace(
        line,
        begun=begun,
        promised_on=on,
        slipped=slipped,
        confirmed_on=confirmed,
        **_MADE_AFTER_ALL,
    )


def _making(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _from(line, Step.SENT, Step.ACKNOWLEDGED)
    return replace(line, begun=Step.MAKING, **_MADE_AFTER_ALL)


_MADE_AFTER_ALL: dict[str, Any] = {"refused_on": None, "refused_why": ""}


def _refused(line: LineState, count: int, event: Happened, number: int) -> LineState:
    """What was said of its days, by the factory or to the customer, holds no more; nor is it being made."""
    _from(line, Step.SENT, Step.ACKNOWLEDGED, Step.MAKING)
    if line.is_refused:
        raise NotAllowed("is noted already as one that its factory can't make.")
    return replace(
        line,
        begun=Step.ACKNOWLEDGED if line.begun is Step.MAKING else line.begun,
        promised_on=None,
        slipped=False,
        told=None,
        refused_on=event.on,
        refused_why=event.why,
    )


def _left(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _from(line, Step.SENT, Step.ACKNOWLEDGED, Step.MAKING)
    if line.sent_on and event.on < line.sent_on:
        raise NotAllowed(
            f"cannot have left before it was sent to the factory on {short_date(line.sent_on)}."
        )
    left = line.left + _count(count, line.going - line.left, "still to leave the factory")
    # Written down later than it happened, perhaps after what left behind it.
    return replace(line, left=left, last_left_on=max(line.last_left_on or event.on, event.on))


def _arrived(line: LineState, count: int, event: Happened, number: int) -> LineState:
    _not_cancelled(line)
    words = "on the way to our dock" if line.made else "still to be put on our dock"
    return replace(line, arrived=line.arrived + _count(count, line.to_arrive, words))


def _handed(line: LineState, count: int, event: Happened, number: int) -> LineState:
    if line.held:
        raise NotAllowed("is on hold: release it before it is handed over.")
    return replace(line, handed=line.handed + _count(count, line.ready, "at our dock and ready"))


def _held(line: LineState, count: int, event: Happened, number: int) -> LineState:
    if not line.is_open or line.held:
        raise NotAllowed(f"is {line.step.words.lower()} already.")
    return replace(line, held=True)


def _released(line: LineState, count: int, event: Happened, number: int) -> LineState:
    if not line.held:
        raise NotAllowed("is not on hold.")
    return replace(line, held=False)


def _cancelled(line: LineState, count: int, event: Happened, number: int) -> LineState:
    """Cancels so many of what has not left the factory; once it is being made only the manager may."""
    most = line.can_be_cancelled
    if not most:
        raise NotAllowed(
            f"is {line.step.words.lower()}: nothing of it is left to cancel. "
            "If it is wrong, have it made again."
        )
    if line.is_begun:
        if event.role not in ("manager", "owner"):
            raise NotAllowed("is being made: from here on only the manager cancels.")
        if not event.data.get("no_return"):
            raise NotAllowed(
                "is made to order and being made: tick that the customer was told it can be neither "
                "returned nor paid back."
            )
    # Before a part of a line could be cancelled an event named all its pieces, those that had left among them.
    count = min(count, most)
    forfeit = line.forfeit + (count if line.is_begun else 0)
    return replace(
        line,
        cancelled=line.cancelled + count,
        forfeit=forfeit,
        held=line.held and count < most,
    )


def _remade(line: LineState, count: int, event: Happened, number: int) -> LineState:
    gone = line.left if line.made else line.arrived
    if number == event.data["line"]:
        return line
    if not gone:
        raise NotAllowed("has not been made yet: change or cancel it instead.")
    if not 1 <= count <= gone:
        raise NotAllowed(f"{count} cannot be made again: {gone} have been made so far.")
    # Events from before this was kept do not say it.
    lost, broken = event.data.get("lost", 0), event.data.get("broken", 0)
    return replace(
        line, again=line.again + count, lost=line.lost + lost, broken=line.broken + broken
    )


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
    Act.MOVED: _promised, Act.MAKING: _making, Act.REFUSED: _refused, Act.LEFT: _left,
    Act.ARRIVED: _arrived, Act.HANDED: _handed, Act.HELD: _held, Act.RELEASED: _released, Act.CANCELLED: _cancelled,
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
