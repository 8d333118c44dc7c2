"""What is cancelled while it is being made is not paid back, as its customer was told: page, mail and sums say the same."""

from decimal import Decimal

import pytest
from django.urls import reverse

from ordering.events import cancel, take_back, take_deposit, write
from ordering.links import page_of
from ordering.lists.money import owed
from ordering.lists.orders import line_views
from ordering.models import Notice, Order
from ordering.states import Act
from tests.ordering.placed import CLERK, MANAGER, load_shop, sent_order, user
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")
PAID = Decimal("100")
NOT_BACK = "neither returned nor paid back"


def build():
    """Three pairs, one cancelled before the factory began with them, and money received."""
    load_shop()
    order, _sent = sent_order(part_opening(quantity=3))
    cancel(order.pk, [1], "one window less", CLERK, tells=False, counts={1: 1})
    take_deposit(order.pk, PAID, "card", CLERK)
    return order


def of(order):
    order = Order.objects.get(pk=order.pk)
    return owed(order, line_views(order))


def cancelled_late(order, **more):
    write(order.pk, Act.MAKING, {1: 2}, CLERK)
    cancel(order.pk, [1], "measured wrong", MANAGER, tells=True, no_return=True, **more)


def test_it_is_still_owed(built):
    """All is cancelled; the pair that was not begun comes off, with the freight, and the two others do not."""
    (row,) = built.acceptance.issue.document["lines"]
    cancelled_late(built)
    now, two = of(built), (Decimal(row["total"]) / 3 * 2).quantize(Decimal("0.01"))
    assert (now.forfeit, now.cancelled) == (two, built.total - two)
    assert now.to_pay == two - PAID


def test_of_a_part_the_rest_is_reckoned_as_before(built):
    """One of the two that are being made: nothing comes off for it."""
    before = of(built).cancelled
    cancelled_late(built, counts={1: 1})
    assert (of(built).cancelled, of(built).forfeit > 0) == (before, True)


def test_page_mail_and_customers_page_agree(client, built):
    """Nobody reads that there is something to pay back or to settle."""
    cancelled_late(built)
    assert NOT_BACK in Notice.objects.filter(factory_order=None).latest("pk").body
    theirs = client.get(page_of(built).removeprefix("http://testserver")).text
    assert NOT_BACK in theirs
    client.force_login(user())
    page = client.get(reverse("order", args=[built.pk])).text
    assert "cancelled as it was being made: not paid back" in page
    assert "to pay back" not in page and "settle with the customer" not in page


def test_taken_back_it_goes_on(built):
    """Cancelled by mistake: nothing is forfeit any more."""
    cancelled_late(built)
    take_back(
        built.pk,
        Order.objects.get(pk=built.pk).events.latest("number").number,
        "the wrong order",
        MANAGER,
    )
    assert of(built).forfeit == 0
