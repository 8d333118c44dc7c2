"""Order pages for eyes, ears and small screens: axe, reflow at 390 and 320 px."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group
from django.utils import timezone

from ordering.events import HandLine, cancel, cannot_make, give_dates, place_by_hand, say, shipped
from ordering.expected import forget
from ordering.links import page_of, page_of_factory
from ordering.models import OrderLine
from tests.browser.wcag import wrong
from tests.ordering.placed import CLERK, FACTORY, accepted_quote, placed_order, sent_order
from tests.quotes.shop import cottage_opening, part_opening


@pytest.fixture
def addresses(clerk):
    """Every page of the orders with something on it: a moved and part-shipped order, one to send, one to place."""
    forget()
    mira = get_user_model().objects.get(username="mira")
    mira.groups.add(Group.objects.get_or_create(name="manager")[0])
    order, sent = sent_order(part_opening(quantity=3), cottage_opening(), hand=True)
    line, today = order.lines.first(), timezone.localdate()
    give_dates(sent.pk, {line.pk: today + timedelta(30)}, FACTORY)
    give_dates(sent.pk, {line.pk: today + timedelta(60)}, FACTORY, "No slate.")
    shipped(sent.pk, {line.pk: 1}, today, FACTORY)
    odd, asks = sent_order(
        part_opening(), cottage_opening(), caller="Ida Lorne", email="ida@lorne.example"
    )
    cannot_make(asks.pk, [odd.lines.last().pk], "The die broke.", FACTORY)
    say(asks.pk, "Nor the other one, sorry.", FACTORY)
    waiting = placed_order(caller="Henrik Aalto", email="")
    OrderLine.objects.filter(order=waiting).update(left_on=today + timedelta(30))
    accepted_quote(caller="Bea Lund")
    for made in (
        placed_order(part_opening(quantity=2), caller="Una Fell", email=""),
        place_by_hand(order.customer_id, [HandLine("", "Cord", 2, Decimal("4.50"))], CLERK),
    ):
        cancel(made.pk, [1], "bought elsewhere", CLERK, tells=False, counts={1: 1})
    cancel(made.pk, [1], "bought elsewhere", CLERK, tells=False)
    public = ["/" + link.split("/", 3)[3] for link in (page_of(order), page_of_factory(sent))]
    return [
        "/orders/", f"/orders/{order.pk}/", "/orders/new/?q=quill",
        f"/orders/new/?customer={order.customer_id}", "/orders/send/", "/factory-orders/",
        f"/factory-orders/{sent.pk}/", f"/orders/{odd.pk}/", f"/factory-orders/{asks.pk}/", "/when/?q=lorne",
        "/when/?q=quill", "/when/?q=802", "/watch/", "/record/",
        "/month/", "/notices/", "/notices/moved/en/", *public,
    ]  # fmt: skip


def test_nothing_is_wrong(page, addresses):
    """axe-core finds no violation on any page of the orders, in light and dark."""
    found = {}
    for address in addresses:
        page.goto(address)
        found[address] = wrong(page)
    assert {address: words for address, words in found.items() if words} == {}
