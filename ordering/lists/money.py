"""What an order comes to, what of it is cancelled, and what is still to be paid."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from ordering.lists.orders import LineView
from ordering.models import Order
from quotes.allot import round_money
from quotes.documents.content import from_plain


@dataclass(frozen=True)
class Owed:
    """Amounts in the order's currency. `cancelled` is what the cancelled pieces come to as they were quoted,
    with their tax; freight stays as it was, unless all of the order is cancelled."""

    total: Decimal
    cancelled: Decimal
    paid: Decimal

    @property
    def to_pay(self) -> Decimal:
        """Below nothing where more was paid than the rest of the order comes to."""
        return self.total - self.cancelled - self.paid

    @property
    def to_pay_back(self) -> Decimal:
        return -self.to_pay


def owed(order: Order, lines: Iterable[LineView]) -> Owed | None:
    """None for an order that is not priced."""
    if order.total is None:
        return None
    views = list(lines)
    if not any(view.state.going for view in views):
        return Owed(order.total, order.total, order.deposit_paid)
    fewer = [view for view in views if view.state.cancelled and not view.line.remake_of_id]
    each = _each(order) if fewer else {}
    cancelled = Decimal(0)
    for view in fewer:
        price = view.line.unit_price
        one = each.get(view.line.number, price.amount if price else Decimal(0))
        cancelled += round_money(one * view.state.cancelled, order.currency)
    return Owed(order.total, cancelled, order.deposit_paid)


def _each(order: Order) -> dict[int, Decimal]:
    """{line's number: what one of it comes to, discount and tax included} of an order from a quote."""
    if order.acceptance is None:
        return {}
    rows = enumerate(from_plain(order.acceptance.issue.document).lines, 1)
    return {number: row.total / row.quantity for number, row in rows if row.total is not None}
