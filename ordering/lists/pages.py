"""The lists of the orders' side: their columns, said once for the page, the CSV and the workbook."""

from __future__ import annotations

from decimal import Decimal
from operator import attrgetter

from ordering.lists.orders import counted
from ordering.lists.steps import with_lines_counted, with_steps
from ordering.lists.watch import Watched, fetched
from ordering.models import FactoryOrder, Order
from quotes.allot import round_money
from quotes.cells import beside, day, faint, link, theirs
from quotes.models import Acceptance, Customer
from sizing.columns import Column
from sizing.lists import Listing, moment
from sizing.people import signed


def _order(one: Order) -> str:
    number = link("order", one.pk, one.number)
    return number if one.is_open else beside(number, faint("closed"))


def _customer(one: Order) -> str:
    return one.customer.name


def _total(one: Order) -> Decimal | None:
    return None if one.total is None else round_money(one.total, one.currency)


_ROW = ("is_open", "town", "placed_on", "taken_by", "customer__name")
# With what an order that is read out in full says besides.
ORDER_SHOWN = (*_ROW, "pickup", "ship_to", "currency", "needed_by")

ORDERS = Listing(
    "orders",
    "Orders",
    (
        Column("Order", attrgetter("number"), drawn=_order, css="day"),
        Column("Customer", _customer, drawn=lambda one: theirs(_customer(one))),
        Column("Town", attrgetter("town")),
        Column(
            "Placed",
            attrgetter("placed_on"),
            drawn=lambda o: day(o.placed_on),
            css="day",
            told=True,
        ),
        Column("Stands", attrgetter("steps"), told=True),
        Column(
            "Leaves factory",
            attrgetter("leaves"),
            drawn=lambda o: day(o.leaves),
            css="day",
            told=True,
        ),
        Column("By", attrgetter("by"), css="by", told=True),
        Column("Open", lambda one: "open" if one.is_open else "closed", shown=False),
        Column("Lines", attrgetter("line_count"), figure=True, shown=False),
        Column("Open lines", attrgetter("open_count"), figure=True, shown=False),
        Column("Total", _total, figure=True, shown=False),
        Column("Currency", attrgetter("currency"), shown=False),
    ),
    fetch=Order.objects.select_related("customer").order_by().only(*_ROW),
    for_file=with_lines_counted(Order.objects.select_related("customer").order_by()),
    ready=lambda orders: with_steps(signed(orders)),
)

TO_PLACE = Listing(
    "to-place",
    "Accepted quotes to place",
    (
        Column("Quote", lambda one: f"{one.quote.number}, issue {one.issue.number}"),
        Column("Customer", lambda one: one.quote.customer.name),
        Column("Accepted", lambda one: moment(one.at)),
        Column("By", lambda one: f"{one.name}, {one.get_how_display()}"),
    ),
    fetch=Acceptance.objects.select_related("quote__customer", "issue"),
)

TO_SEND = Listing(
    "lines-to-send",
    "Lines for the factories",
    (
        Column("Line", str),
        Column("Factory", lambda line: line.factory.name),
        Column("Part", lambda line: line.part_number or line.description),
        Column("Quantity", attrgetter("going"), figure=True),
        Column("Customer", lambda line: line.order.customer.name),
        Column("Placed", lambda line: line.order.placed_on),
    ),
    a_page=None,
)

FACTORY_ORDERS = Listing(
    "factory-orders",
    "Factory orders",
    (
        Column(
            "Number",
            attrgetter("number"),
            drawn=lambda one: link("factory-order", one.pk, one.number),
            css="day",
        ),
        Column("Factory", lambda one: one.factory.name),
        Column(
            "Sent", attrgetter("sent_on"), drawn=lambda one: day(one.sent_on), css="day", told=True
        ),
        Column(
            "Answered",
            attrgetter("answered_on"),
            drawn=lambda one: day(one.answered_on) or "not yet",
            css="day",
            told=True,
        ),
        Column("Lines", attrgetter("line_count"), figure=True, told=True),
        Column("Still there", attrgetter("open_count"), figure=True, told=True),
        Column("Asked again", attrgetter("chased_on"), shown=False),
    ),
    fetch=counted(FactoryOrder.objects.select_related("factory").order_by()),
)


def _what(one: Watched) -> str:
    if one.line:
        return f"{one.line} {one.line.order.customer}"
    if one.question:
        return str(one.question.enquiry.special)
    return (one.sent or one.order).number


def _what_drawn(one: Watched, may_write: bool) -> str:
    if one.line:
        order = link("order", one.line.order_id, one.line)
        return beside(order, theirs(one.line.order.customer))
    if one.order:
        return link("order", one.order.pk, _what(one))
    if not may_write:
        return _what(one)
    if one.question:
        return link("special", one.question.enquiry.special_id, _what(one))
    return link("factory-order", one.sent.pk, _what(one))


def _watch(may_write: bool) -> Listing:
    """With links to factory orders for whoever may write to them."""
    return Listing(
        "watch-list",
        "Watch list",
        (
            Column(
                "What",
                _what,
                drawn=lambda one: _what_drawn(one, may_write),
                css="day",
                heads=True,
            ),
            Column(
                "Why", lambda one: one.item.why, drawn=lambda one: theirs(one.item.why), css="whole"
            ),
            Column("Working days", lambda one: one.item.days, figure=True, told=True),
        ),
        bounded=True,
        ready=fetched,
    )


WATCH = {may_write: _watch(may_write) for may_write in (True, False)}

# One line of each order that "When?" finds: what is read out, and the window behind it.
WHEN = Listing(
    "when",
    "When will it ship",
    (
        Column("Order", lambda view: view.line.order.number),
        Column("Line", lambda view: view.line.number),
        Column("Customer", lambda view: view.line.order.customer.name),
        Column("What", attrgetter("name")),
        Column("Quantity", lambda view: view.state.going, figure=True),
        Column("Earliest", lambda view: view.window.earliest if view.window else None),
        Column("Likely", lambda view: view.window.likely if view.window else None),
        Column("Latest", lambda view: view.window.latest if view.window else None),
        Column("In words", attrgetter("stands")),
    ),
    a_page=None,
)


def _record(name: str, title: str, head: str) -> Listing:
    return Listing(
        name,
        title,
        (
            Column(head, attrgetter("name"), heads=True),
            Column("Windows", attrgetter("windows"), figure=True),
            Column("Held", attrgetter("inside"), figure=True),
            Column(
                "Share",
                attrgetter("share_percent"),
                drawn=lambda one: f"{one.share_percent} %",
                figure=True,
            ),
            Column("Too early", attrgetter("early"), figure=True),
            Column("Late", attrgetter("late"), figure=True),
            Column(
                "Width, days",
                attrgetter("median_width"),
                drawn=lambda one: f"{one.width:g}",
                figure=True,
            ),
            Column("Most days late", attrgetter("worst"), figure=True),
        ),
        a_page=None,
    )


RECORD = (
    _record("record-by-month", "How the windows told in each month held", "Month"),
    _record("record-by-factory", "How the windows of each factory held", "Factory"),
    Listing(
        "made-again",
        "Lines made a second time, by cause",
        (
            Column("Family", lambda row: row[0]),
            Column("Cause", lambda row: row[1]),
            Column("Lines", lambda row: row[2], figure=True),
        ),
        a_page=None,
    ),
)

NOTICE_TEXTS = Listing(
    "notice-texts",
    "Texts of notices",
    (
        Column("Notice", lambda row: row[0].words),
        Column("Language", lambda row: Customer.Language(row[1]).label),
        Column("Subject", lambda row: row[2]),
        Column("Words", lambda row: f"changed by {row[3]}" if row[3] else "the usual ones"),
    ),
    a_page=None,
)
