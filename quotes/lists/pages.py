"""The lists of this side of the desk: their columns, said once for the page, the CSV and the workbook."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from operator import attrgetter
from typing import Any

from quotes.lists.quotes import state_of
from quotes.models import Customer, Quote, Request, Special
from sizing import lengths, weights
from sizing.columns import Column
from sizing.lists import Listing, moment
from sizing.people import signed

OUTCOMES = {"part": "part", "ask": "to ask", "special": "special", "error": "not read"}


def with_tallies(requests: list[Request]) -> list[Request]:
    """The requests with how many openings they have, and how many came out how, as `count` and `tally`."""
    for request in requests:
        openings = request.openings.all()
        request.count = len(openings)
        request.tally = Counter(opening.outcome for opening in openings)
    return signed(requests)


def tally(request: Request) -> str:
    """2 part; 1 to ask"""
    counts = ((request.tally[name], words) for name, words in OUTCOMES.items())
    return "; ".join(f"{count} {words}" for count, words in counts if count)


REQUESTS = Listing(
    "requests",
    "Requests",
    (
        Column("Request", attrgetter("pk")),
        Column("Caller", attrgetter("caller")),
        Column("Phone", attrgetter("phone")),
        Column("E-mail", attrgetter("email"), shown=False),
        Column("Customer", lambda one: one.customer.name if one.customer else "", shown=False),
        Column("Openings", attrgetter("count")),
        Column("The desk says", tally),
        Column("Taken", lambda one: moment(one.created_at)),
        Column("By", attrgetter("by")),
        Column("Note", attrgetter("note"), shown=False),
    ),
    ready=with_tallies,
)


def with_states(quotes: list[Quote]) -> list[Quote]:
    """The quotes with their last issue and how that stands, as `last` and `state`."""
    for quote in quotes:
        quote.last = quote.issues.all()[0]
        quote.last.quote = quote  # so that its state is read from what was fetched already
        quote.state = state_of(quote.last)
    return signed(quotes)


QUOTES = Listing(
    "quotes",
    "Quotes",
    (
        Column("Quote", attrgetter("number")),
        Column("Customer", lambda one: one.customer.name),
        Column("Issue", lambda one: one.last.number),
        Column("Stands", lambda one: f"{one.state.heading} {one.state.sentence}".strip()),
        Column("Issued", lambda one: moment(one.last.issued_at), shown=False),
        Column("Holds until", lambda one: one.last.valid_until, shown=False),
        Column("Total", lambda one: _decimal(one.last.total), figure=True, shown=False),
        Column("Currency", attrgetter("currency"), shown=False),
        Column("Begun", lambda one: moment(one.created_at)),
        Column("By", attrgetter("by")),
    ),
    ready=with_states,
)


def _decimal(text: str | None) -> Decimal | None:
    return Decimal(text) if text else None


def _contacts(customer: Customer) -> str:
    found = customer.contacts.all()
    return "; ".join(" ".join(filter(None, (c.name, c.phone, c.email))) for c in found)


CUSTOMERS = Listing(
    "customers",
    "Customers",
    (
        Column("Name", attrgetter("name")),
        Column("Kind", lambda one: one.get_kind_display()),
        Column("Contacts", _contacts),
        Column("Town", lambda one: "; ".join(a.town for a in one.addresses.all() if a.town)),
        Column("Terms", lambda one: one.terms or "list price"),
        Column("Best reached by", lambda one: one.get_channel_display(), shown=False),
        Column("Language", lambda one: one.get_language_display(), shown=False),
    ),
)

WAITING = Listing(
    "specials",
    "Specials to settle",
    (
        Column("Days", attrgetter("days"), figure=True),
        Column("What", lambda one: one.name or str(one.special)),
        Column("Family", lambda one: one.family.name, shown=False),
        Column("Why", attrgetter("reason_words")),
        Column("Caller", attrgetter("caller")),
        Column("Request", attrgetter("request"), shown=False),
        Column("How it stands", lambda one: "overdue" if one.overdue else one.state),
        Column("Answer by", attrgetter("due_on"), shown=False),
        Column("Since", lambda one: moment(one.since), shown=False),
    ),
    a_page=100,
)


def _quoted_in(special: Special) -> str:
    return str(special.line.issue) if special.line else ""


SETTLED = Listing(
    "settled",
    "Specials settled",
    (
        Column("Special", str),
        Column("Why", lambda one: one.get_reason_display()),
        Column("Family", lambda one: one.family.name, shown=False),
        Column("Caller", lambda one: one.request.caller),
        Column("Request", attrgetter("request_id"), shown=False),
        Column("How it stands", lambda one: one.get_state_display()),
        Column("Price", attrgetter("unit_price"), figure=True, shown=False),
        Column("In", _quoted_in),
    ),
)

SCHEDULES = Listing(
    "schedules",
    "Window schedules",
    (
        Column("Workbook", attrgetter("name")),
        Column("Family", lambda one: one.family.name),
        Column("Lines", attrgetter("total"), figure=True),
        Column("Sent by", attrgetter("caller")),
        Column("Brought in", lambda one: moment(one.created_at)),
        Column("By", attrgetter("by")),
        Column("Request", attrgetter("request_id")),
    ),
    ready=signed,
)

# A schedule's lines as they stand; the sender's own workbook with the answers is another file.
LINES = Listing(
    "schedule-lines",
    "Lines of the schedule",
    (
        Column("Row", lambda seen: seen.line.row, figure=True),
        Column("Window", attrgetter("label")),
        Column("Count", attrgetter("count")),
        Column("As typed", lambda seen: "; ".join(f"{h} {text}" for h, text in seen.typed)),
        Column("Stands", lambda seen: seen.line.get_attention_display(), shown=False),
        Column("Part", attrgetter("part_number"), shown=False),
        Column("Answer", attrgetter("words")),
        Column("Price", lambda s: s.line.part.price.amount if s.price else None, figure=True),
    ),
    a_page=100,
)

PEOPLE = Listing(
    "people",
    "People at the desk",
    (
        Column("Name", attrgetter("name")),
        Column("Sign-in name", lambda one: one.user.username),
        Column("E-mail", lambda one: one.user.email),
        Column("Role", attrgetter("role")),
        Column("Sign-in", lambda one: "on" if one.user.is_active else "off"),
    ),
    a_page=None,
)

PROGRAMS = Listing(
    "programs",
    "Programs with a key",
    (
        Column("Program", attrgetter("name")),
        Column("Made", lambda one: moment(one.made_at)),
        Column("By", attrgetter("by"), shown=False),
        Column("Key", lambda one: "off" if one.switched_off_at else "on"),
        Column("Off since", lambda one: moment(one.switched_off_at), shown=False),
    ),
    a_page=None,
    ready=lambda rows: signed(rows, "made_by"),
)

_FROM = Column("From", attrgetter("in_force_from"))


def _family(row: Any) -> str:
    return row.family.name if row.family else "all without their own"


def _inches(field: str) -> Column:
    def value(row: Any) -> Decimal | None:
        length = getattr(row, field)
        return None if length is None else round(Decimal(length) / lengths.PER_INCH, 4)

    return Column(f"{field.replace('_', ' ').capitalize()}, in", value, figure=True, shown=False)


def _pounds(row: Any) -> Decimal | None:
    if row.weight is None:
        return None
    return weights.to_decimal(weights.Weight(row.weight), weights.WeightUnit.POUND)


PRICES = (
    Listing(
        "terms",
        "Terms",
        (
            Column("Name", attrgetter("name")),
            _FROM,
            Column("Off list, %", attrgetter("discount_percent"), figure=True),
            Column("On accepting, %", attrgetter("deposit_percent"), figure=True),
            Column("Days to pay", attrgetter("net_days"), figure=True),
        ),
        a_page=None,
    ),
    Listing(
        "breaks",
        "Quantity breaks",
        (
            Column("Family", _family),
            _FROM,
            Column("From quantity", attrgetter("from_quantity"), figure=True),
            Column("Off, %", attrgetter("percent"), figure=True),
        ),
        a_page=None,
    ),
    Listing(
        "freight",
        "Freight",
        (
            Column("Carrier", attrgetter("carrier")),
            _FROM,
            Column("Longest piece", lambda row: None, figure=True, filed=False),
            Column("Length and girth", lambda row: None, figure=True, filed=False),
            Column("Weight", lambda row: None, figure=True, filed=False),
            _inches("length"),
            _inches("length_and_girth"),
            Column("Weight, lb", _pounds, figure=True, shown=False),
            Column("Price", lambda row: row.price.amount, figure=True),
            Column("Currency", attrgetter("price_currency"), shown=False),
        ),
        a_page=None,
    ),
    Listing(
        "tax",
        "Sales tax",
        (
            Column("Authority", attrgetter("name")),
            _FROM,
            Column(
                "Place", lambda row: " ".join(filter(None, (row.country, row.region, row.town)))
            ),
            Column("Rate, %", attrgetter("percent"), figure=True),
            Column("Freight", lambda row: "taxed" if row.on_freight else "not taxed"),
        ),
        a_page=None,
    ),
    Listing(
        "margins",
        "Margins on specials",
        (
            Column("Family", _family),
            _FROM,
            Column("On cost, %", attrgetter("percent"), figure=True),
            Column("Checked over", attrgetter("check_over"), figure=True),
            Column("Currency", attrgetter("currency"), shown=False),
        ),
        a_page=None,
    ),
)
