"""Reads what an order's log comes to."""

from __future__ import annotations

from collections.abc import Sequence

from ordering.models import Event, Order
from ordering.replay import replay
from ordering.states import Act, OrderState


def state_of(order: Order) -> OrderState:
    """The order's state, from its log alone."""
    return replay(event.as_happened() for event in order.events.all())


def last_of(log: Sequence[Event], act: Act, number: int) -> Event | None:
    """The last event of this act that names the line."""
    return next((e for e in reversed(log) if e.act == act and str(number) in e.pieces), None)
