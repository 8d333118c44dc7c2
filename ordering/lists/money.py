"""What an order comes to, what of it is cancelled, and what is still to be paid."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ordering.lists.orders import LineView
from ordering.models import Order
from ordering.states import Cause
from quotes.allot import round_money
from quotes.documents.compose import freight_of_rest
from quotes.documents.content import from_plain, show_amount
from quotes.lists.prices import breaks_on
from quotes.models import QuoteLine
from quotes.pricing import break_lost, break_percent


@dataclass(frozen=True)
class Owed:
    """Amounts in the order's currency. `cancelled` is what the cancelled pieces come to as they were quoted,
    with their tax; freight stays as it was, unless nothing of the order is to be delivered. `forfeit` is what those
    come to that were being made and are paid for all the same, as the customer was told.

    A piece made again costs nothing of its own, and cancelled it leaves the one that it was made for
    undelivered: that one's price goes. Not where the caller's own measure was wrong: what was ordered was made.
    """

    total: Decimal
    cancelled: Decimal
    paid: Decimal
    forfeit: Decimal = Decimal(0)

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
    fewer, forfeit = _by_number(views), _forfeit(views)
    worth = _worth(order, views) if fewer or forfeit else {}

    def share(counted: Mapping[int, int]) -> Decimal:
        # Of a line at once: shares that are rounded apart may come to more than the line.
        parts = (round_money(worth[at] * count, order.currency) for at, count in counted.items())
        return sum(parts, Decimal(0))

    lost = share(forfeit)
    off = order.total - lost if _is_all(views, fewer + forfeit) else share(fewer)
    return Owed(order.total, off, order.deposit_paid, lost)


def breaks_lost(order: Order, lines: Iterable[LineView]) -> list[str]:
    """For the desk, a sentence for each line whose quantity break the rest of the order earns no more, or
    less of: by the breaks of the day of the quote, and what that makes. Nothing is booked by it.
    """
    views = list(lines)
    fewer = _by_number(views)
    if not fewer or order.acceptance is None:
        return []
    document = from_plain(order.acceptance.issue.document)
    code = {view.line.number: view.line.family.code for view in views if view.line.family}
    listed = [row for row in document.lines if row.kind == QuoteLine.Kind.PART]
    if document.issued_on is None or not any(row.break_percent for row in listed):
        return []
    left = Counter[str]()
    for row in listed:
        left[code.get(row.number, "")] += row.quantity - fewer[row.number]
    breaks, said = breaks_on(document.issued_on), []
    for row in listed:
        family = code.get(row.number, "")
        rest, now = row.quantity - fewer[row.number], break_percent(breaks, family, left[family])
        if rest and row.total is not None and now < row.break_percent:
            more = break_lost(row.total, row.quantity, rest, row.break_percent, now, order.currency)
            said.append(
                f"Line {row.number} was quoted with {row.break_percent.normalize():f} % off for the quantity; the "
                f"{left[family]} of its family that are left would get {now.normalize():f} %: "
                f"{show_amount(more, order.currency, True)} more for the {rest} of this line, discount and tax "
                "included."
            )
    return said


def freight_changed(order: Order, lines: Iterable[LineView]) -> str:
    """For the desk, what the rest of an order that is cancelled in part goes for, by the freight rates of the day
    of the quote, where that is not what was quoted; else nothing. Nothing is booked by it.
    """
    views = list(lines)
    fewer = _by_number(views)
    if not fewer or order.acceptance is None or _is_all(views, fewer + _forfeit(views)):
        return ""
    issue, currency = order.acceptance.issue, order.currency
    document = from_plain(issue.document)
    quoted = document.sums.freight
    if document.issued_on is None or not quoted:
        return ""
    said = f"Freight was quoted at {show_amount(quoted, currency, True)}"
    if issue.freight is not None:
        return f"{said}, as agreed for all of it: ask what the rest goes for."
    left = {row.number: row.quantity - fewer[row.number] for row in document.lines}
    rest = freight_of_rest(issue, left, document.issued_on)
    if rest.amount is None:
        return ""
    # A rate may be finer than its money, as a quote's freight is not.
    goes = round_money(rest.amount, currency)
    if goes == quoted:
        return ""
    apart = quoted - goes
    apart += round_money(apart * document.sums.freight_tax / quoted, currency)
    return (
        f"{said}; the rest is {rest.words} for {show_amount(goes, currency, True)}: "
        f"{show_amount(abs(apart), currency, True)} {'less' if apart > 0 else 'more'}, tax included."
    )


def _by_number(views: Sequence[LineView]) -> Counter[int]:
    """{line's number as ordered: how many pieces of it are not paid for}, no more than were ordered"""
    by_key = {view.line.pk: view.line for view in views}
    fewer = Counter[int]()
    for view in views:
        count = view.state.cancelled - view.state.forfeit
        if count and view.line.cause != Cause.CALLER.value:
            line = view.line
            while line.remake_of_id:
                line = by_key[line.remake_of_id]
            fewer[line.number] = min(fewer[line.number] + count, line.quantity)
    return fewer


def _forfeit(views: Sequence[LineView]) -> Counter[int]:
    """{line's number as ordered: how many cancelled pieces of it are paid for}: what is made again costs nothing of
    its own."""
    return Counter(
        {
            view.line.number: view.state.forfeit
            for view in views
            if view.state.forfeit and not view.line.remake_of_id
        }
    )


def _is_all(views: Sequence[LineView], counted: Counter[int]) -> bool:
    """Whether these pieces, {line's number as ordered: how many}, are all that was ordered."""
    ordered = (view.line for view in views if not view.line.remake_of_id)
    return all(counted[line.number] == line.quantity for line in ordered)


def _worth(order: Order, views: Sequence[LineView]) -> dict[int, Fraction]:
    """{line's number: what one of it comes to, exactly}; of an order from a quote with discount and tax."""
    worth = {
        view.line.number: Fraction(view.line.unit_price.amount if view.line.unit_price else 0)
        for view in views
    }
    if order.acceptance is not None:
        for number, row in enumerate(from_plain(order.acceptance.issue.document).lines, 1):
            if row.total is not None:
                worth[number] = Fraction(row.total) / row.quantity
    return worth
