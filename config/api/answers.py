"""From the desk's own answers to the API's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from config.api.schemas import AnswerOut, OrderLineOut, OrderOut, Price, QuoteOut
from ordering.links import page_of
from ordering.lists.orders import line_views
from ordering.models import Order
from quotes.links import address_of
from quotes.lists.issue_states import state_of
from quotes.lists.issues import document_of
from quotes.models import Integration, Issue, Quote, Request
from sizing import lookup
from sizing.models import Revision
from sizing.table import SizeTable


def answer_out(table: SizeTable, line: Mapping[str, Any], id: str | None = None) -> AnswerOut:
    """One answer of the resolver with the part's list price."""
    number = line["part_number"]
    part = next((p for p in table.parts if p.part_number == number), None) if number else None
    price = None
    if part and part.price is not None:
        price = Price(amount=part.price, currency=table.currency, per=table.sold_as)
    return AnswerOut(**{"id": id, **line, "price": price})


def answers_of(request: Request) -> list[AnswerOut]:
    openings = request.openings.select_related("revision__family")
    return [answer_out(_table(o.revision), o.answer, o.label or None) for o in openings]


def _table(revision: Revision) -> SizeTable:
    return lookup.table_of(revision)


def quotes_of(quotes: Iterable[Quote]) -> list[QuoteOut]:
    return [quote_out(quote) for quote in quotes]


def quote_out(quote: Quote) -> QuoteOut:
    """The quote by its latest issued issue; by its draft while none is issued."""
    issues = quote.issues.order_by("-number")
    issue: Issue = issues.filter(issued_at__isnull=False).first() or issues.first()
    state = state_of(issue)
    document = document_of(issue) if issue.issued_at else None
    order = Order.objects.filter(acceptance__quote=quote).first()
    return QuoteOut(
        number=quote.number,
        issue=issue.number,
        state=state.word,
        sentence=state.sentence,
        currency=quote.currency,
        total=document.sums.total if document else None,
        valid_until=issue.valid_until.isoformat() if issue.valid_until else None,
        openings=[sheet.name for sheet in document.openings] if document else [],
        page=address_of(issue) if document else None,
        order=order.number if order else None,
    )


def order_out(order: Order) -> OrderOut:
    """How each line of an order stands; the window is the one the customer was last told."""
    lines = []
    for view in line_views(order, told=True):
        days = dict.fromkeys(("earliest", "likely", "latest"))
        if view.window:
            days = {name: getattr(view.window, name).isoformat() for name in days}
        lines.append(
            OrderLineOut(
                number=view.line.number,
                what=view.name,
                quantity=view.state.quantity,
                cancelled=view.state.cancelled,
                stands=view.stands,
                **days,
            )
        )
    return OrderOut(
        number=order.number,
        placed_on=order.placed_on.isoformat(),
        page=page_of(order),
        lines=lines,
    )


def own_requests(program: Integration):
    """A program sees what it has sent itself, and nothing of anybody else's."""
    return Request.objects.filter(taken_by=program.signature)


def own_quotes(program: Integration):
    return Quote.objects.filter(request__taken_by=program.signature)


def own_orders(program: Integration):
    return Order.objects.filter(acceptance__quote__request__taken_by=program.signature)
