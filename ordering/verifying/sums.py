"""Sums against their lines: of issued quotes to the cent, of orders against the quote or their lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from ordering.models import Order, OrderLine
from ordering.verifying.moment import AT_ONCE
from quotes.documents.content import Document, LineRow, from_plain
from quotes.models import Issue
from quotes.pricing import gross


def totals() -> Iterator[str]:
    """Sums against their lines: of issued quotes to the cent, of orders against the quote or their lines."""
    for issue in (
        Issue.objects.filter(document__isnull=False)
        .select_related("quote")
        .prefetch_related("lines")
        .iterator(AT_ONCE)
    ):
        yield from _document(issue, from_plain(issue.document))
    taken = Order.objects.select_related("acceptance__issue__quote").prefetch_related(
        "lines__quote_line"
    )
    for order in taken.iterator(AT_ONCE):
        yield from _order(order)


def _document(issue: Issue, document: Document) -> Iterator[str]:
    sums, rows = document.sums, [row for row in document.lines if row.total is not None]
    lines = sum((row.total for row in rows), Decimal(0))
    if lines + sums.freight + sums.freight_tax != sums.total:
        yield f"{issue}: its lines and freight come to {lines + sums.freight + sums.freight_tax}, its total says {sums.total}."
    if sum((row.tax for row in rows), sums.freight_tax) != sums.tax:
        yield f"{issue}: its tax of {sums.tax} is not that of its lines and freight."
    if sum((row.discount for row in rows), Decimal(0)) != sums.discount:
        yield f"{issue}: its discount of {sums.discount} is not that of its lines."
    if sum((row.net + row.discount for row in rows), Decimal(0)) != sums.goods:
        yield f"{issue}: its goods of {sums.goods} are not those of its lines."
    for row in rows:
        yield from _row(issue, row, document.currency)
    told = [(row.quantity, row.unit_price) for row in document.lines]
    held = [(line.quantity, line.unit_price) for line in issue.lines.all()]
    if told != held:
        yield f"{issue} says {_counts(told)}, its lines hold {_counts(held)}."


def _row(issue: Issue, row: LineRow, currency: str) -> Iterator[str]:
    net = gross(row.quantity, row.unit_price, row.break_percent, currency) - row.discount
    if net != row.net:
        yield f"{issue}, line {row.number}: price times count, less what is off, is {net}; its net says {row.net}."
    if row.net + row.tax != row.total:
        yield f"{issue}, line {row.number}: its net and tax come to {row.net + row.tax}, its total says {row.total}."


def _counts(rows: Sequence[tuple[int, Decimal | None]]) -> str:
    return ", ".join(
        f"{count} at {'no price' if price is None else price}" for count, price in rows
    )


def _order(order: Order) -> Iterator[str]:
    lines = [line for line in order.lines.all() if not line.remake_of_id]
    for line in lines:
        if line.unit_price is not None and line.unit_price.currency.code != order.currency:
            yield f"Line {line} is priced in {line.unit_price.currency}, {order} in {order.currency}."
    if order.acceptance:
        yield from _ordered(order, order.acceptance.issue, lines)
        return
    priced = all(line.unit_price is not None for line in lines)
    due = (
        sum((line.unit_price.amount * line.quantity for line in lines), Decimal(0))
        if priced
        else None
    )
    if order.total != due:
        yield f"{order}: its total is {order.total}, its lines come to {due}."


def _ordered(order: Order, issue: Issue, lines: Sequence[OrderLine]) -> Iterator[str]:
    """An order against the quote that it was accepted of."""
    told = from_plain(issue.document)
    if order.total != told.sums.total:
        yield f"{order}: its total is {order.total}, that of {issue} {told.sums.total}."
    if order.deposit_due != told.sums.deposit:
        yield f"{order} asks for a deposit of {order.deposit_due}, {issue} for {told.sums.deposit}."
    if order.currency != told.currency:
        yield f"{order} is in {order.currency}, {issue} in {told.currency}."
    if order.customer_id != issue.quote.customer_id:
        yield f"{order} is of the customer {order.customer_id}; that of its quote is {issue.quote.customer_id}."
    if sorted(line.quantity for line in lines) != sorted(row.quantity for row in told.lines):
        yield f"{order}: its lines are not those of {issue}."
    for line in lines:
        price = line.unit_price.amount if line.unit_price is not None else None
        if line.quote_line and price != line.quote_line.unit_price:
            yield f"Line {line} costs {price}; the quote says {line.quote_line.unit_price}."
