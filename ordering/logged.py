"""Reads what an order's log comes to."""

from __future__ import annotations

from ordering.models import Order
from ordering.replay import replay
from ordering.states import OrderState


def state_of(order: Order) -> OrderState:
    """The order's state, from its log alone."""
    return replay(event.as_happened() for event in order.events.all())
