"""A few dozen orders as the product itself writes them, from the call to the counter; copied by `big_shop`.

Everything here is invented. `SURNAME`, `TOWN` and `EXCHANGE` are what each copy puts its own in place of.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
from django.utils import timezone

from fixtures.build import balance, liner, strip
from fixtures.quotes import BEDROOM, KITCHEN
from ordering import events
from ordering.events import HandLine, Who, write
from ordering.models import Notice, Order
from ordering.states import Act
from quotes.desk.accepting import accept
from quotes.desk.drafts import Head, change_head
from quotes.desk.issuing import issue_quote
from quotes.desk.people import choose_customer, save_customer
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import save_request
from quotes.lists.issues import document_of
from quotes.models import Address, Contact, Customer, Issue, Letter, Request
from quotes.said import SaidOpening, SaidRequest
from sizing.models import Factory, Part
from sizing.tables import import_workbook, set_factory

SURNAME, TOWN, EXCHANGE = "Quornby", "Zelbridge", "555"
GIVEN = ["Ada", "Bo", "Cleo", "Dov", "Edda", "Finn", "Gwen", "Hal", "Ines", "Jory", "Kaia", "Lev"]
ORDERS, QUOTED, CUSTOMERS = 40, 10, 12
CLERK, FACTORY = Who("counter", "counter"), Who("Jo Marsh, the factory", "factory")


def families(count: int = 50) -> None:
    """So many families, three makes of part under names of their own, at ten factories."""
    for n in range(count):
        table = (liner, balance, strip)[n % 3]()
        parts = tuple(
            replace(p, part_number=p.part_number and f"{p.part_number}-{n:02}") for p in table.parts
        )
        factory = f"Factory {n % 10 + 1}"
        table = replace(
            table, code=f"{table.code}-{n:02}", name=f"{table.name} {n:02}", factory=factory,
            parts=parts, currency="USD",
        )  # fmt: skip
        import_workbook(table, "bench", (), date(2020, 1, 1), "bench")
    for factory in Factory.objects.filter(name__startswith="Factory "):
        set_factory(
            factory, email="orders@factory.example", contact="Jo", country="US", region="VT"
        )


def people() -> list[Customer]:
    return [
        save_customer(
            Customer(name=f"{given} {SURNAME}"),
            [Contact(name=f"{given} {SURNAME}", phone=f"802 {EXCHANGE} 01{n:02}",
                     email=f"{given.lower()}@{SURNAME.lower()}.example")],
            [Address(street=f"{n + 1} Mill Lane", town=TOWN, region="VT", postcode="05999")],
        )
        for n, given in enumerate(GIVEN[:CUSTOMERS])
    ]  # fmt: skip


def _request(customer: Customer, at: int) -> Request:
    contact = customer.contacts.get()
    opening = SaidOpening(
        family=f"otter-liner-{3 * (at % 16):02}", label="Kitchen", finish="ash", quantity=1 + at % 4,
        measures=(KITCHEN, BEDROOM)[at % 2],
    )  # fmt: skip
    request = save_request(
        SaidRequest(
            caller=customer.name, phone=contact.phone, email=contact.email, openings=(opening,)
        ),
        by="counter",
    )
    # A later block's people have the phones of the first one's.
    return choose_customer(request.pk, customer.pk, "counter")


def _issued(request: Request) -> Issue:
    (quote,) = begin_quotes(request.pk, "counter")
    issue = quote.issues.get()
    change_head(issue.pk, Head(None, True, None, "", 30))
    return issue_quote(issue.pk, "counter")


def _order(customer: Customer, at: int, numbers: list[str]) -> Order:
    """Every fourth from a quote that was accepted, the others by hand."""
    if at % 4:
        place = at * 37 % len(numbers)
        return events.place_by_hand(
            customer.pk,
            [HandLine(numbers[place], "", 1 + at % 5)],
            CLERK,
            ship_to=customer.addresses.get(),
        )
    request = _request(customer, at)
    issue = _issued(request)
    ticked = [sheet.name for sheet in document_of(issue).openings]
    accept(issue.pk, name=customer.name, ticked=ticked, how="phone", taken_by="counter")
    return events.place_from_quote(issue.quote_id, CLERK)


def write_block(day: date, *, over: bool = True) -> None:
    """Forty orders of that day, handed over to their customers; two quotes not accepted, two calls put aside.

    Called with the clock at `day`. All is mailed; with `over` the goods are with their customers, otherwise
    still at the factories, which have given a date.
    """
    customers = people()
    numbers = list(
        Part.objects.exclude(part_number="")
        .filter(price__isnull=False, revision__source="bench")
        .order_by("pk")
        .values_list("part_number", flat=True)
    )
    orders = [_order(customers[n % CUSTOMERS], n, numbers) for n in range(ORDERS)]
    lines = [line.pk for order in orders for line in order.lines.exclude(factory=None)]
    for sent in events.send_to_factories(lines, CLERK):
        counts = {line.pk: line.quantity for line in sent.lines.all()}
        leaves = np.busday_offset(day, 25, roll="forward").astype(date)
        events.give_dates(sent.pk, dict.fromkeys(counts, leaves), FACTORY)
        if over:
            events.shipped(sent.pk, counts, day, FACTORY)
    for order in orders if over else ():
        for act in (Act.ARRIVED, Act.HANDED):
            write(order.pk, act, {x.number: x.quantity for x in order.lines.all()}, CLERK)
    for n in range(2):
        _issued(_request(customers[n], n))
        aside = _request(customers[n + 2], n)
        Request.objects.filter(pk=aside.pk).update(aside_at=timezone.now(), aside_by="counter")
    # As the worker leaves them, and `erase_old` after it.
    sent = {"sent_at": timezone.now(), "attempts": 1, "body": ""}
    Notice.objects.filter(sent_at=None).update(html="", **sent)
    Letter.objects.filter(sent_at=None).update(**sent)
