"""Writes one event of an order with all that follows from it: copies, windows told, history, notices.

Every change of an order comes through `write`, inside one transaction that holds the order's row.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone

from ordering.events.acting import one_act
from ordering.events.fields import about_lines
from ordering.events.holding import hold_order
from ordering.events.telling import tell_customer, tell_factories
from ordering.expected import lines_of, window_of
from ordering.fits import past_changed
from ordering.in_turn import check_days
from ordering.models import Event, Order, OrderLine, PastOrder, ToldWindow
from ordering.needs import need_of
from ordering.replay import replay
from ordering.states import (
    Act,
    LineState,
    NotAllowed,
    OrderState,
    Window,
    writable_once_erased,
)
from quotes.days import short_date
from quotes.desk.holding import is_erased, nothing_new
from sizing.box_length import too_long
from sizing.people import name_of

# With these the customer is told a window; the line's own, as it is expected after the event.
TELLS_WINDOW = frozenset({Act.PLACED, Act.PROMISED, Act.MOVED, Act.WINDOW, Act.LATE, Act.REMADE})


# As much of a reason as is kept.
MOST_WHY = 500


@dataclass(frozen=True)
class Who:
    """Who writes: a name, and what they are (see `states.MAY`)."""

    name: str
    role: str


# What the product finds out by itself.
BY_ITSELF = Who("the desk", "desk")


class StaleError(Exception):
    """Somebody wrote the same line meanwhile; the sentence says who and what."""


@one_act
def write(
    order_pk: int,
    act: Act,
    pieces: Mapping[int, int],
    who: Who,
    *,
    on: date | None = None,
    why: str = "",
    data: Mapping[str, Any] | None = None,
    seen: Mapping[int, int] | None = None,
) -> Event:
    """Write an event of these lines. Raises NotAllowed, StaleError; NotAllowed, too, of a customer who has been
    erased, unless the books need it (`states.writable_once_erased`).

    `seen` is {line's number: its version} as the writer had it before them; a line that is not in
    it is not checked.
    """
    today = timezone.localdate()
    on = on or today
    _check_said(on, today, why)
    order = hold_order(order_pk)
    erased = is_erased(order.customer_id)
    if erased and not writable_once_erased(act, order.is_open):
        raise NotAllowed(nothing_new(order.customer_id))
    lines = {line.number: line for line in lines_of(order)}
    log = list(order.events.all())
    _check_seen(log, pieces, seen or {})
    event = Event(
        order=order,
        number=order.version + 1,
        act=act,
        pieces={str(number): count for number, count in pieces.items()},
        data={**(data or {}), "role": who.role},
        on=on,
        why=why.strip().replace("\r\n", "\n"),
        by=who.name[:150],
    )
    before = [past.as_happened() for past in log]
    state = replay([*before, event.as_happened()])
    check_days(state, before, event.as_happened())
    about = about_lines(event, lines)
    told = _windows(act, about, lines, state, today)
    if told:
        event.data["windows"] = _plain(told)
        state = replay([*before, event.as_happened()])
    event.save()
    _copy(order, lines, state)
    _note_told(event, lines, told, today)
    named = sorted(set(pieces) & set(lines))
    # Of a remake the new line is told of, and the old one needs something else from now on, or nothing.
    note_needs([lines[n] for n in sorted({*about, *named})], state, today)
    _note_history([lines[n] for n in named], state)
    if not erased:
        tell_customer(event, order, lines, state)
    tell_factories(event, lines, who)
    return event


def _check_said(on: date, today: date, why: str) -> None:
    if on > today:
        raise NotAllowed(
            f"{short_date(on)} is still to come: write down what happened up to today."
        )
    if trouble := too_long(why, MOST_WHY, "The reason"):
        raise NotAllowed(trouble)


def _plain(told: Mapping[int, Window]) -> dict[str, list[str]]:
    """As an event's data keeps the windows of its lines."""
    return {
        str(n): [w.earliest.isoformat(), w.likely.isoformat(), w.latest.isoformat(), w.basis]
        for n, w in told.items()
    }


def written_since(log: Sequence[Event], number: int, seen: int) -> Event | None:
    """The last of an order's events, in their order, that somebody wrote of the line since its version `seen`.

    What the desk works out by itself, such as a moved window, is in nobody's way. A page that knows more than
    the log, such as one from before a copy was restored, is answered with the last of them.
    """
    of_line = [e for e in log if str(number) in {*e.pieces, *e.data.get("windows", ())}]
    if of_line and seen > log[-1].number:
        return of_line[-1]
    by_somebody = (e for e in reversed(of_line) if e.data.get("role") != BY_ITSELF.role)
    return next((e for e in by_somebody if e.number > seen), None)


def _check_seen(log: Sequence[Event], pieces: Iterable[int], seen: Mapping[int, int]) -> None:
    for number in pieces:
        last = written_since(log, number, seen[number]) if number in seen else None
        if last:
            raise StaleError(
                f"Line {number} was changed meanwhile: {last.get_act_display().lower()}, by {name_of(last.by)} "
                f"at {timezone.localtime(last.at):%H:%M}. Look at it again before you write."
            )


def _windows(
    act: Act,
    about: Iterable[int],
    lines: Mapping[int, OrderLine],
    state: OrderState,
    today: date,
) -> dict[int, Window]:
    if act not in TELLS_WINDOW:
        return {}
    found = {n: window_of(lines[n], state.lines[n], today) for n in about}
    return {number: window for number, window in found.items() if window}


def _copy(order: Order, lines: Mapping[int, OrderLine], state: OrderState) -> None:
    order.version, order.is_open, order.deposit_paid = state.version, state.is_open, state.paid
    order.save(update_fields=["version", "is_open", "deposit_paid"])
    changed = [
        line for number, line in lines.items() if line.version != state.lines[number].version
    ]
    for line in changed:
        copy_state(line, state.lines[line.number])
    OrderLine.objects.bulk_update(changed, COPIED)


COPIED = (
    "step", "is_open", "version", "cancelled", "sent_on", "left_on", "promised_on",
    "refused_on", "told_earliest", "told_likely", "told_latest",
)  # fmt: skip


def copy_state(line: OrderLine, state: LineState) -> None:
    """Put what the log says into the line's own columns."""
    line.step, line.is_open, line.version = state.step, state.is_open, state.version
    line.cancelled = state.cancelled
    line.sent_on, line.left_on = state.sent_on, state.left_on
    line.promised_on, line.refused_on = state.promised_on, state.refused_on
    told = state.told
    line.told_earliest = told.earliest if told else None
    line.told_likely = told.likely if told else None
    line.told_latest = told.latest if told else None


def note_needs(lines: Iterable[OrderLine], state: OrderState, today: date) -> None:
    """Keep with each of these lines of an order what it needs somebody for."""
    changed = []
    for line in lines:
        item = need_of(line, state.lines[line.number], today)
        kept = (item.need, item.why[:500], item.days) if item else (None, "", 0)
        if kept != (line.need, line.need_why, line.need_days):
            line.need, line.need_why, line.need_days = kept
            changed.append(line)
    OrderLine.objects.bulk_update(changed, ["need", "need_why", "need_days"])


def _note_told(
    event: Event, lines: Mapping[int, OrderLine], told: Mapping[int, Window], today: date
) -> None:
    ToldWindow.objects.bulk_create(
        ToldWindow(
            line=lines[number], event=event, told_on=today, earliest=window.earliest,
            likely=window.likely, latest=window.latest, basis=window.basis,
        )
        for number, window in told.items()
    )  # fmt: skip


def _note_history(lines: Iterable[OrderLine], state: OrderState) -> None:
    """Let the lead times learn from these lines: their rows among the past orders, brought up to date.

    A row begins when its line goes to the factory and carries the factory's promise; a line cancelled
    before any of it left never was a lead time, nor is what the factory can't make.
    """
    rows, gone = [], []
    for line in lines:
        now = state.lines[line.number]
        if line.family_id is None:
            continue
        if now.sent_on is None or (not now.left and (now.going == 0 or now.is_refused)):
            gone.append(str(line))
        else:
            rows.append(_past_of(line, now))
    PastOrder.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["reference"], update_fields=OF_A_PAST
    )
    out = PastOrder.objects.filter(reference__in=gone)
    families = [*(row.family_id for row in rows), *out.values_list("family", flat=True)]
    out.delete()
    past_changed(families)


OF_A_PAST = (
    "family", "part_number", "quantity", "ordered_on", "shipped_on", "promised_on", "weeks_min",
    "weeks_max",
)  # fmt: skip


def _past_of(line: OrderLine, state: LineState) -> PastOrder:
    return PastOrder(
        reference=str(line),
        family_id=line.family_id,
        part_number=line.part_number,
        quantity=state.going,
        ordered_on=state.sent_on,
        shipped_on=state.left_on,
        promised_on=state.promised_on,
        weeks_min=line.weeks_min,
        weeks_max=line.weeks_max,
    )
