"""What an order comes to, what of it is cancelled, and what is still to be paid."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from ordering.lists.orders import LineView
from ordering.models import Order
from ordering.states import Cause
from quotes.allot import round_money
from quotes.documents.content import from_plain


@dataclass(frozen=True)
class Owed:
    """Amounts in the order's currency. `cancelled` is what the cancelled pieces come to as they were quoted,
    with their tax; freight stays as it was, unless all of the order is cancelled.

    A piece made again costs nothing of its own, and cancelled it leaves the one that it was made for
    undelivered: that one's price goes. Not where the caller's own measure was wrong: what was ordered was made.
    """

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
    lines = {view.line.pk: view.line for view in views}
    fewer = [
        view for view in views if view.state.cancelled and view.line.cause != Cause.CALLER.value
    ]
    each = _each(order) if fewer else {}
    cancelled = Decimal(0)
    for view in fewer:
        line = view.line
        while line.remake_of_id:
            line = lines[line.remake_of_id]
        one = each.get(line.number, line.unit_price.amount if line.unit_price else Decimal(0))
        cancelled += round_money(one * view.state.cancelled, order.currency)
    return Owed(order.total, cancelled, order.deposit_paid)


def _each(order: Order) -> dict[int, Decimal]:
    """{line's number: what one of it comes to, discount and tax included} of an order from a quote."""
    if order.acceptance is None:
        return {}
    rows = enumerate(from_plain(order.acceptance.issue.document).lines, 1)
    return {number: row.total / row.quantity for number, row in rows if row.total is not None}
