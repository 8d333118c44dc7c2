"""`manage.py verify` finds each way in which what is stored can disagree with itself, and nothing else."""

import io

import pytest
from django.core.management import call_command
from django.db import models

from ordering.models import Event, FactoryOrder, Notice, Order, OrderLine, ToldWindow
from quotes.desk.accepting import accept
from quotes.desk.posting import post
from quotes.models import (
    Acceptance,
    Customer,
    Enquiry,
    Issue,
    Letter,
    Link,
    Opening,
    Quote,
    QuoteLine,
    Request,
)
from sizing.models import Factory, Part
from tests.faults.busy_shop import busy_shop
from tests.quotes import letters, shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    busy_shop()


def verify() -> tuple[int, list[str]]:
    """(exit status, lines) of the command."""
    out = io.StringIO()
    try:
        call_command("verify", stdout=out, stderr=io.StringIO())
    except SystemExit as left:
        return left.code, out.getvalue().splitlines()
    return 0, out.getvalue().splitlines()


def beside_the_log(event: Event, **fields) -> None:
    """Change an event as nothing in the product can: past its own guard."""
    models.QuerySet(Event).filter(pk=event.pk).update(**fields)


def document_with(change) -> None:
    issue = Issue.objects.filter(document__isnull=False).first()
    change(issue.document)
    Issue.objects.filter(pk=issue.pk).update(document=issue.document)


def other_part(part: Part) -> Part:
    return Part.objects.exclude(pk=part.pk).exclude(part_number="").first()


def accepted_at_the_counter(**fields) -> None:
    issue = shop.issued_quote()
    ticked = [sheet["name"] for sheet in issue.document["openings"]]
    accepted = accept(issue.pk, name="Jo Marsh", ticked=ticked)
    Acceptance.objects.filter(pk=accepted.pk).update(**fields)


def letters_mixed_up() -> None:
    Factory.objects.update(email="orders@otterhollow.example")
    one, other = (letters.ask(letters.request_of(2)) for _ in range(2))
    Enquiry.objects.filter(pk=one[1].pk).update(asked_with=other[0])


def first_line() -> OrderLine:
    return OrderLine.objects.exclude(part=None).order_by("pk").first()


def first_order() -> Order:
    return Order.objects.order_by("pk").first()


def change_order(**fields) -> None:
    Order.objects.filter(pk=first_order().pk).update(**fields)


def other_factory_order() -> FactoryOrder:
    return FactoryOrder.objects.create(
        factory=FactoryOrder.objects.first().factory, sent_on="2026-01-05", token_hash="x"
    )


def posted(**fields) -> None:
    post(cause="test", to="ida@lorne.example", subject="Yours", body="It is there.", by="ann")
    Letter.objects.update(**fields)


def change_line(**fields) -> None:
    OrderLine.objects.filter(pk=first_line().pk).update(**fields)


DAMAGE = {
    "a step that the log does not know": (
        lambda: change_line(step="handed"), "step is handed; its log says"),
    "a promised day that nobody gave": (
        lambda: change_line(promised_on="2031-03-04"), "promised_on is 2031-03-04; its log says"),
    "a quantity that was never ordered": (
        lambda: change_line(quantity=99), "99 pieces; its log says"),
    "a deposit that was never paid": (
        lambda: change_order(deposit_paid=7), "its log says"),
    "an order closed by nobody": (
        lambda: change_order(is_open=False), "its log says"),
    "an event left out": (
        lambda: beside_the_log(Event.objects.filter(order=first_order()).last(), number=77), "leaves one out"),
    "a total that is not the quote's": (
        lambda: change_order(total=1), "its total is 1"),
    "a quote whose lines do not come to its total": (
        lambda: document_with(lambda d: d["sums"].update(total="1.00")), "its total says 1.00"),
    "a quote whose tax is not its lines'": (
        lambda: document_with(lambda d: d["sums"].update(tax="0.01")), "its tax of 0.01"),
    "a line whose price times count is not its net": (
        lambda: document_with(lambda d: d["lines"][0].update(unit_price="1.00")), "its net says"),
    "a line whose net and tax are not its total": (
        lambda: document_with(lambda d: d["lines"][0].update(tax="9.00")), "its net and tax come to"),
    "a discount that is not its lines'": (
        lambda: document_with(lambda d: d["sums"].update(discount="3.00")), "its discount of 3.00 is not"),
    "goods that are not the lines'": (
        lambda: document_with(lambda d: d["sums"].update(goods="3.00")), "its goods of 3.00 are not"),
    "a line of another count than its document": (
        lambda: QuoteLine.objects.filter(issue__document__isnull=False).update(quantity=55), "its lines hold 55"),
    "a line of another price than its document": (
        lambda: QuoteLine.objects.filter(issue__document__isnull=False).update(unit_price=55), "its lines hold"),
    "an ordered line of another price than the quote's": (
        lambda: change_line(unit_price=1), "the quote says"),
    "an order in another currency than its quote": (
        lambda: change_order(currency="CAD"), "is in CAD"),
    "a line in another currency than its order": (
        lambda: change_line(unit_price_currency="CAD"), "in CAD"),
    "an order of another customer than its quote": (
        lambda: change_order(customer=Customer.objects.exclude(pk=first_order().customer_id).first()),
        "that of its quote"),
    "a deposit that the quote does not ask for": (
        lambda: change_order(deposit_due=77), "asks for a deposit of 77"),
    "a line in a factory order that its log does not name": (
        lambda: change_line(factory_order=other_factory_order()), "its log says F-"),
    "a line in a factory order that was never sent": (
        lambda: OrderLine.objects.filter(step="placed").update(factory_order=FactoryOrder.objects.first()),
        "its log says none"),
    "a window told that is in no record": (
        lambda: ToldWindow.objects.first().delete(), "told the windows of"),
    "a window told with another day": (
        lambda: ToldWindow.objects.filter(pk=ToldWindow.objects.first().pk).update(latest="2031-03-04"),
        "told the windows of"),
    "a letter sent by nobody": (
        lambda: posted(attempts=0, sent_at="2031-03-04T00:00Z"), "nothing ever tried"),
    "a notice lost": (
        lambda: Notice.objects.filter(event__order=first_order()).first().delete(), "has the notices none"),
    "a factory order that was never mailed": (
        lambda: Notice.objects.filter(kind="factory").delete(), "0 notices that bring it"),
    "a notice of another cause": (
        lambda: Notice.objects.filter(kind="placed").update(kind="ready"), "it causes one, placed"),
    "a notice sent by nobody": (
        lambda: Notice.objects.exclude(to="").update(attempts=0, sent_at="2031-03-04T00:00Z"),
        "nothing ever tried"),
    "a part of another number than the quote's": (
        lambda: change_line(part=other_part(first_line().part)), "the quote says"),
    "an answer that names another part": (
        lambda: Opening.objects.exclude(part=None).update(answer={"part_number": "ZZ-1"}),
        "the answer names ZZ-1"),
    "an issue without its link": (
        lambda: Link.objects.first().delete(), "without a link"),
    "a call that no page shows": (
        lambda: Request.objects.create(caller="Ines Calloway", waits=False), "Ines Calloway is a call to finish"),
    "an accepted quote that no page shows": (
        lambda: accepted_at_the_counter(waits=False), "and not ordered, and has no mark"),
    "an accepted quote that is listed as open": (
        lambda: Quote.objects.filter(is_accepted=True).update(is_accepted=False), "is accepted and has no mark of it"),
    "an open quote that is listed as accepted": (
        lambda: Quote.objects.filter(pk=shop.issued_quote().quote_id).update(is_accepted=True),
        "is marked as accepted and is not"),
    "an opening in another request's letter": (
        letters_mixed_up, "went in a letter that is not its own"),
    "a line on the watch list that its factory has sent": (
        lambda: OrderLine.objects.filter(is_open=False).update(need=3), "though nothing of it is awaited"),
    "links that another key has made": (
        lambda: Link.objects.filter(pk=Link.objects.last().pk).update(token_hash="another's"), "with another key"),
    "orders' links that another key has made": (
        lambda: Order.objects.filter(pk=Order.objects.order_by("pk").last().pk).update(token_hash="another's"), "with another key"),
    "a factory order without lines": (
        lambda: FactoryOrder.objects.create(
            factory=FactoryOrder.objects.first().factory, sent_on="2026-01-05", token_hash="x"),
        "has no line"),
}  # fmt: skip


def test_nothing_in_a_sound_shop():
    """A shop in which much has happened has no finding, and the command says so with status 0."""
    assert verify() == (0, ["Everything agrees."])


@pytest.mark.parametrize("what", DAMAGE)
def test_damage_is_found(what):
    """Each damage is told in a line of its own; the command leaves with status 1."""
    spoil, words = DAMAGE[what]
    spoil()
    status, lines = verify()
    assert status == 1
    assert any(words in line for line in lines), lines
