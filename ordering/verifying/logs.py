"""What orders and lines hold of their state, against their log read anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ordering.events import copy_state
from ordering.logged import state_of
from ordering.models import Order, OrderLine
from ordering.replay import standing
from ordering.states import Act, NotAllowed
from ordering.verifying.moment import AT_ONCE

_OF_SENDING = frozenset({Act.SENT, Act.TAKEN_BACK})


def states() -> Iterator[str]:
    """What orders and lines hold of their state, against the log read anew."""
    orders = Order.objects.prefetch_related("events__told", "lines__factory_order")
    for order in orders.iterator(AT_ONCE):
        numbers = sorted(event.number for event in order.events.all())
        if numbers != list(range(1, len(numbers) + 1)):
            yield f"{order}: its events are numbered {numbers}, which leaves one out."
            continue
        try:
            state = state_of(order)
        except (NotAllowed, KeyError, ValueError) as problem:
            yield f"{order}: its log cannot be read ({problem})"
            continue
        held = (order.version, order.is_open, order.deposit_paid)
        if held != (state.version, state.is_open, state.paid):
            yield f"{order} says version, open, paid {_said(held)}; its log says {_said((state.version, state.is_open, state.paid))}."
        lines = {line.number: line for line in order.lines.all()}
        if set(lines) != set(state.lines):
            yield f"{order} has the lines {sorted(lines)}; its log has {sorted(state.lines)}."
        for number in sorted(set(lines) & set(state.lines)):
            yield from _line(lines[number], state.lines[number])
        yield from _sent(order, lines)
        yield from _told(order, lines)


def _sent(order: Order, lines: Mapping[int, OrderLine]) -> Iterator[str]:
    """Which factory order each line went in."""
    named: dict[int, str | None] = {}
    for event in standing(event for event in order.events.all() if event.act in _OF_SENDING):
        named |= {int(number): event.data.get("factory_order") for number in event.pieces}
    for number, line in lines.items():
        held = line.factory_order.number if line.factory_order else "none"
        # Of one that was sent in no paper the log names none.
        if held != (named.get(number, "none") or held):
            yield f"Line {line} is in the factory order {held}; its log says {named.get(number, 'none')}."


def _told(order: Order, lines: Mapping[int, OrderLine]) -> Iterator[str]:
    """The record of windows told, which the desk is judged by."""
    numbers = {line.pk: number for number, line in lines.items()}
    for event in order.events.all():
        says = {int(n): tuple(days[:3]) for n, days in event.data.get("windows", {}).items()}
        held = {
            numbers.get(row.line_id): (
                row.earliest.isoformat(),
                row.likely.isoformat(),
                row.latest.isoformat(),
            )
            for row in event.told.all()
        }
        if says != held:
            yield f"{event} told the windows of {_days(says)}; in the record are {_days(held)}."


def _days(windows: Mapping[int | None, tuple[str, ...]]) -> str:
    return (
        "; ".join(f"line {number}, {' '.join(days)}" for number, days in windows.items()) or "none"
    )


def _line(line: OrderLine, state) -> Iterator[str]:
    before = {f.attname: f.value_from_object(line) for f in line._meta.concrete_fields}
    if line.quantity != state.quantity:
        yield f"Line {line}: {line.quantity} pieces; its log says {state.quantity}."
    awaited = state.awaits_factory or (state.made and state.to_arrive)
    if line.need is not None and (state.held or not awaited):
        yield f"Line {line} is kept on the watch list, though nothing of it is awaited."
    copy_state(line, state)
    for name, held in before.items():
        if held != getattr(line, name):
            yield f"Line {line}: {name} is {held}; its log says {getattr(line, name)}."


def _said(values: tuple) -> str:
    return ", ".join(map(str, values))
