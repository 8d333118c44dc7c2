"""The lists of this side of the desk: their columns, said once for the page, the CSV and the workbook."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from operator import attrgetter

from django.db.models import OuterRef, Subquery
from django.db.models.fields.json import KT
from django.utils.safestring import SafeString

from quotes.cells import beside, day, faint, link, minute, theirs, unseen
from quotes.enquiries import REASONS
from quotes.lists.issue_states import with_states
from quotes.lists.people import with_reach
from quotes.lists.requests import outcomes_of
from quotes.models import Customer, Issue, Quote, Request, Schedule, ScheduleLine, Special
from quotes.templatetags.shapes import shape
from sizing.columns import Column
from sizing.lists import Listing, escaped, moment
from sizing.people import signed

OUTCOMES = {"part": "part", "ask": "to ask", "special": "special", "error": "not read"}


def with_tallies(requests: list[Request]) -> list[Request]:
    """The requests with how many openings they have, and how many came out how, as `count` and `tally`."""
    outcomes = outcomes_of(requests)
    for request in requests:
        request.tally = Counter(outcomes[request.pk])
        request.count = request.tally.total()
    return signed(requests)


def tally(request: Request) -> str:
    """2 part; 1 to ask"""
    counts = ((request.tally[name], words) for name, words in OUTCOMES.items())
    return "; ".join(f"{count} {words}" for count, words in counts if count)


LOOKS = {"part": "is-good", "ask": "is-asked", "special": "is-doubt", "error": "is-bad"}


def _tally(request: Request) -> SafeString:
    return beside(*(_sign(name, n) for name in OUTCOMES if (n := request.tally[name])))


def _sign(outcome: str, count: int) -> SafeString:
    words = f"{count} {OUTCOMES[outcome]}{'s' if outcome == 'part' and count > 1 else ''}"
    return SafeString(f'<span class="{LOOKS[outcome]}">{shape(outcome)} {words}</span>')


def _caller(request: Request) -> SafeString:
    found = [link("request", request.pk, request.caller or "no name yet")]
    if request.customer:
        whose = beside("customer", unseen(theirs(request.customer)), between="")
        found.append(link("customer", request.customer_id, whose, "small"))
    if request.aside_at:
        found.append(faint("nothing came of it", "small"))
    if request.looked_up:
        found.append(faint("only looked up", "small"))
    return beside(*found)


REQUESTS = Listing(
    "requests",
    "Requests",
    (
        Column("Request", attrgetter("pk"), drawn=lambda one: link("request", one.pk, one.pk)),
        Column("Caller", attrgetter("caller"), drawn=_caller),
        Column("Phone", attrgetter("phone")),
        Column("E-mail", attrgetter("email"), shown=False),
        Column("Customer", lambda one: one.customer.name if one.customer else "", shown=False),
        Column("Openings", attrgetter("count")),
        Column("The desk says", tally, drawn=_tally, css="tally"),
        Column("Taken", lambda one: moment(one.created_at), drawn=lambda r: minute(r.created_at)),
        Column("By", attrgetter("by")),
        Column("Note", attrgetter("note"), shown=False),
    ),
    fetch=Request.objects.order_by()
    .select_related("customer")
    .only("caller", "phone", "taken_by", "created_at", "aside_at", "looked_up", "customer__name"),
    for_file=Request.objects.order_by().select_related("customer"),
    ready=with_tallies,
)


def _stands(quote: Quote) -> str:
    return f"{quote.state.heading} {quote.state.sentence}".strip()


def _stands_drawn(quote: Quote) -> SafeString:
    heading, sentence = quote.state.heading, theirs(quote.state.sentence)
    return SafeString(f"<strong>{escaped(heading)}</strong> {sentence}") if heading else sentence


_QUOTES = Quote.objects.order_by().select_related("customer", "acceptance")
_ACCEPTED = [
    f"acceptance__{it}"
    for it in ("quote", "issue", "name", "their_number", "how", "taken_by", "at")
]
_LAST_TOTAL = (
    Issue.objects.filter(quote=OuterRef("pk"))
    .order_by("-number")
    .values(total=KT("document__sums__total"))[:1]
)

QUOTES = Listing(
    "quotes",
    "Quotes",
    (
        Column("Quote", attrgetter("number"), drawn=lambda one: link("quote", one.pk, one.number)),
        Column(
            "Customer", lambda one: one.customer.name, drawn=lambda one: theirs(one.customer.name)
        ),
        Column("Issue", lambda one: one.last.number, told=True),
        Column("Stands", _stands, drawn=_stands_drawn, css="whole"),
        Column("Issued", lambda one: moment(one.last.issued_at), shown=False),
        Column("Holds until", lambda one: one.last.valid_until, shown=False),
        Column("Total", lambda one: _decimal(one.total), figure=True, shown=False),
        Column("Currency", attrgetter("currency"), shown=False),
        Column(
            "Begun",
            lambda one: moment(one.created_at),
            drawn=lambda one: day(one.created_at),
            css="day",
            told=True,
        ),
        Column("By", attrgetter("by"), css="by", told=True),
    ),
    fetch=_QUOTES.only("taken_by", "created_at", "customer__name", *_ACCEPTED),
    for_file=_QUOTES.annotate(total=Subquery(_LAST_TOTAL)),
    ready=lambda quotes: signed(with_states(quotes)),
)

# A customer's newest few, for the customer's own page.
THEIR_QUOTES = QUOTES.newest("Customer")


def _decimal(text: str | None) -> Decimal | None:
    return Decimal(text) if text else None


def _contacts(customer: Customer) -> str:
    return "; ".join(" ".join(filter(None, said)) for said in customer.reached)


def _contacts_drawn(customer: Customer) -> SafeString:
    found = (beside(theirs(name), phone, mail) for name, phone, mail in customer.reached)
    return beside(*found, between="; ")


CUSTOMERS = Listing(
    "customers",
    "Customers",
    (
        Column(
            "Name", attrgetter("name"), drawn=lambda one: link("customer", one.pk, theirs(one.name))
        ),
        Column("Kind", lambda one: Customer.Kind(one.kind).label),
        Column("Contacts", _contacts, drawn=_contacts_drawn, css="whole"),
        Column("Town", lambda one: "; ".join(filter(None, one.towns))),
        Column("Terms", lambda one: one.terms or "list price"),
        Column("Best reached by", lambda one: one.get_channel_display(), shown=False),
        Column("Language", lambda one: one.get_language_display(), shown=False),
    ),
    fetch=Customer.objects.order_by().only("name", "kind", "terms"),
    for_file=Customer.objects.order_by().defer("scraps"),
    ready=with_reach,
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
        Column("Special", str, drawn=lambda one: link("special", one.pk, one), heads=True),
        Column("Why", lambda one: REASONS[one.reason]),
        Column("Family", lambda one: one.family.name, shown=False),
        Column(
            "Caller",
            lambda one: one.request.caller,
            drawn=lambda one: theirs(one.request.caller or "no name"),
        ),
        Column("Request", attrgetter("request_id"), shown=False),
        Column("How it stands", lambda one: Special.State(one.state).label),
        Column("Price", attrgetter("unit_price"), figure=True, shown=False),
        Column("In", _quoted_in),
    ),
    fetch=Special.objects.order_by()
    .select_related("request", "line__issue__quote")
    .only("reason", "state", "request__caller", "line__issue__number", "line__issue__quote__id"),
    for_file=Special.objects.order_by().select_related("request", "family", "line__issue__quote"),
)


def _taken_in(schedule: Schedule) -> str:
    key = schedule.request_id
    return link("request", key, key) if key else "not yet"


SCHEDULES = Listing(
    "schedules",
    "Window schedules",
    (
        Column(
            "Workbook",
            attrgetter("name"),
            drawn=lambda one: link("schedule", one.pk, theirs(one.name)),
            heads=True,
        ),
        Column("Family", lambda one: one.family.name),
        Column("Lines", attrgetter("total"), figure=True, told=True),
        Column("Sent by", attrgetter("caller"), drawn=lambda one: theirs(one.caller)),
        Column(
            "Brought in",
            lambda one: moment(one.created_at),
            drawn=lambda one: minute(one.created_at),
        ),
        Column("By", attrgetter("by"), css="by", told=True),
        Column("Request", attrgetter("request_id"), drawn=_taken_in),
    ),
    fetch=Schedule.objects.order_by().defer("content").select_related("family"),
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
    fetch=ScheduleLine.objects.order_by().select_related("part", "opening"),
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
