"""The order's page says what is still to be paid, without what was cancelled."""

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.events import cancel, make_again, shipped, take_deposit
from ordering.lists.money import owed
from ordering.lists.orders import line_views
from ordering.models import Order
from ordering.states import Cause
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, placed_order, sent_order, user
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def of(order):
    order = Order.objects.get(pk=order.pk)
    return owed(order, line_views(order))


def test_a_part_cancelled_takes_its_share():
    """One of three pairs, with its discount and tax; the rest and the freight stay."""
    order = placed_order(part_opening(quantity=3))
    (row,) = order.acceptance.issue.document["lines"]
    share = (Decimal(row["total"]) / 3).quantize(Decimal("0.01"))
    take_deposit(order.pk, Decimal("50"), "card", CLERK)
    cancel(order.pk, [1], "one window less", CLERK, tells=False, counts={1: 1})
    now = of(order)
    assert (now.total, now.cancelled, now.paid) == (order.total, share, 50)
    assert now.to_pay == order.total - share - 50 > 0


def test_a_quantity_break_that_the_rest_earns_no_more(client):
    """The desk reads what the break would be and what that makes; it is not booked, and not said while it holds."""
    order = placed_order(part_opening(quantity=7))
    client.force_login(user())
    address = reverse("order", args=[order.pk])
    cancel(order.pk, [1], "one window less", CLERK, tells=False, counts={1: 1})
    assert "Quantity break." not in client.get(address).content.decode()
    cancel(order.pk, [1], "two windows less", CLERK, tells=False, counts={1: 2})
    (row,) = order.acceptance.issue.document["lines"]
    assert Decimal(row["break_percent"]) == Decimal("2.5")
    more = (Decimal(row["total"]) / 7 * 4 * Decimal("2.5") / Decimal("97.5")).quantize(
        Decimal(".01")
    )
    page = client.get(address).content.decode()
    assert (
        "Line 1 was quoted with 2.5 % off for the quantity; the 4 of its family that are left would get 0 %: "
        f"{more} USD more for the 4 of this line, discount and tax included. Nothing of it is booked"
    ) in page
    share = (Decimal(row["total"]) / 7).quantize(Decimal("0.01"))
    assert abs(of(order).cancelled - 3 * share) <= Decimal("0.02")
    cancel(order.pk, [1], "the house is sold", CLERK, tells=False)
    assert "Quantity break." not in client.get(address).content.decode()


def test_all_cancelled_leaves_the_deposit_to_pay_back(client):
    order = placed_order(part_opening(quantity=3))
    take_deposit(order.pk, Decimal("50"), "card", CLERK)
    cancel(order.pk, [1], "the house is sold", MANAGER, tells=False)
    assert of(order).to_pay_back == 50
    client.force_login(user())
    page = client.get(reverse("order", args=[order.pk])).content.decode()
    assert "nothing; 50.00 USD to pay back" in page


def test_nothing_cancelled(client):
    order = placed_order(part_opening(quantity=3))
    assert of(order).to_pay == order.total
    client.force_login(user())
    page = client.get(reverse("order", args=[order.pk])).content.decode()
    assert "Still to pay" in page and "of it cancelled" not in page


@pytest.mark.parametrize("cause", Cause)
def test_a_piece_made_again_and_not_wanted_any_more(cause):
    """Two good pairs of three were delivered: the third is not paid for, unless the caller's measure was wrong."""
    order, sent = sent_order(part_opening(quantity=3))
    (line,) = order.lines.all()
    (row,) = order.acceptance.issue.document["lines"]
    shipped(sent.pk, {line.pk: 3}, timezone.localdate(), FACTORY)
    again = make_again(line.pk, 1, cause, "crushed", CLERK, tells=False)
    cancel(order.pk, [again.number], "they make do with two", MANAGER, tells=False)
    share = (Decimal(row["total"]) / 3).quantize(Decimal("0.01"))
    assert of(order).cancelled == (0 if cause is Cause.CALLER else share)
