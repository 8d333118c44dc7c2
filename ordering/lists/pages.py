"""The lists of the orders' side: their columns, said once for the page, the CSV and the workbook."""

from __future__ import annotations

from operator import attrgetter

from ordering.lists.finding import with_lines_counted
from ordering.lists.watch import Watched
from quotes.models import Customer
from sizing.columns import Column
from sizing.lists import Listing, moment
from sizing.people import signed

ORDERS = Listing(
    "orders",
    "Orders",
    (
        Column("Order", attrgetter("number")),
        Column("Customer", lambda one: one.customer.name),
        Column("Town", attrgetter("town")),
        Column("Placed", attrgetter("placed_on")),
        Column("By", attrgetter("by")),
        Column("Stands", lambda one: "open" if one.is_open else "closed", shown=False),
        Column("Lines", attrgetter("line_count"), figure=True, shown=False),
        Column("Open lines", attrgetter("open_count"), figure=True, shown=False),
        Column("Total", attrgetter("total"), figure=True, shown=False),
        Column("Currency", attrgetter("currency"), shown=False),
    ),
    ready=signed,
    for_file=with_lines_counted,
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
)

TO_SEND = Listing(
    "lines-to-send",
    "Lines for the factories",
    (
        Column("Line", str),
        Column("Factory", lambda line: line.factory.name),
        Column("Part", lambda line: line.part_number or line.description),
        Column("Quantity", attrgetter("quantity"), figure=True),
        Column("Customer", lambda line: line.order.customer.name),
        Column("Placed", lambda line: line.order.placed_on),
    ),
    a_page=None,
)

FACTORY_ORDERS = Listing(
    "factory-orders",
    "Factory orders",
    (
        Column("Number", attrgetter("number")),
        Column("Factory", lambda one: one.factory.name),
        Column("Sent", attrgetter("sent_on")),
        Column("Answered", attrgetter("answered_on")),
        Column("Lines", attrgetter("line_count"), figure=True),
        Column("Still there", attrgetter("open_count"), figure=True),
        Column("Asked again", attrgetter("chased_on"), shown=False),
    ),
)


def _what(one: Watched) -> str:
    if one.line:
        return f"{one.line} {one.line.order.customer}"
    if one.factory_order:
        return one.factory_order.number
    return (one.notice.event.order if one.notice.event else one.notice.factory_order).number


WATCH = Listing(
    "watch-list",
    "Watch list",
    (
        Column("What", _what),
        Column("Why", lambda one: one.item.why),
        Column("Working days", lambda one: one.item.days, figure=True),
    ),
    a_page=None,
)

# One line of each order that "When?" finds: what is read out, and the window behind it.
WHEN = Listing(
    "when",
    "When will it ship",
    (
        Column("Order", lambda view: view.line.order.number),
        Column("Line", lambda view: view.line.number),
        Column("Customer", lambda view: view.line.order.customer.name),
        Column("What", attrgetter("name")),
        Column("Quantity", lambda view: view.state.quantity, figure=True),
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
            Column(head, attrgetter("name")),
            Column("Windows", attrgetter("windows"), figure=True),
            Column("Held", attrgetter("inside"), figure=True),
            Column("Share", lambda one: one.share_percent, figure=True),
            Column("Too early", attrgetter("early"), figure=True),
            Column("Late", attrgetter("late"), figure=True),
            Column("Width, days", lambda one: one.median_width, figure=True),
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
