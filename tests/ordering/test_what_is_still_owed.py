"""The order's page says what is still to be paid, without what was cancelled."""

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.events import (
    HandLine,
    cancel,
    make_again,
    place_by_hand,
    shipped,
    take_deposit,
)
from ordering.lists.money import owed
from ordering.lists.orders import line_views
from ordering.models import Order
from ordering.states import Cause
from quotes.models import Customer, Issue
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


def by_hand(*lines):
    customer = Customer.objects.create(name="Henrik Aalto")
    return place_by_hand(customer.pk, [HandLine("", "cord", *line) for line in lines], CLERK)


def test_half_a_cent_is_not_lost():
    """Three of six that come to 0.71 together are half of it, which is rounded up: 0.36."""
    order = placed_order(part_opening(quantity=6))
    issue = order.acceptance.issue
    issue.document["lines"][0]["total"] = "0.71"
    Issue.objects.filter(pk=issue.pk).update(document=issue.document)
    cancel(order.pk, [1], "half of it", CLERK, tells=False, counts={1: 3})
    assert of(order).cancelled == Decimal("0.36")


def test_what_is_cancelled_apart_is_no_more_than_the_line():
    """One of two before it was sent, the other as it was to be made again: together what the line comes to."""
    order, sent = sent_order(part_opening(quantity=2), hand=True)
    issue = order.acceptance.issue
    issue.document["lines"][0]["total"] = "0.05"
    Issue.objects.filter(pk=issue.pk).update(document=issue.document)
    cancel(order.pk, [1], "one less", CLERK, tells=False, counts={1: 1})
    shipped(sent.pk, {order.lines.get(number=1).pk: 1}, timezone.localdate(), FACTORY)
    line = order.lines.get(number=1)
    again = make_again(line.pk, 1, Cause.CARRIER, "lost", CLERK, tells=False)
    cancel(order.pk, [again.number], "no more", MANAGER, tells=False)
    assert of(order).cancelled == Decimal("0.05")


@pytest.mark.parametrize("cause", [Cause.CARRIER, Cause.CALLER])
def test_nothing_comes_of_it_and_nothing_is_paid(cause):
    """All of it was lost and is not wanted any more: no freight either; not so where the caller measured wrong."""
    order, sent = sent_order(part_opening(quantity=2))
    Order.objects.filter(pk=order.pk).update(total=order.total + 20)
    (line,) = order.lines.all()
    shipped(sent.pk, {line.pk: 2}, timezone.localdate(), FACTORY)
    again = make_again(line.pk, 2, cause, "crushed", CLERK, tells=False)
    cancel(order.pk, [again.number], "too late now", MANAGER, tells=False)
    assert of(order).to_pay == (0 if cause is Cause.CARRIER else order.total + 20)


def test_an_order_by_hand_can_be_paid():
    """A price finer than a cent: the line is rounded once, as it is in a quote, and what is owed is money. What
    is given away has a price, too."""
    order = by_hand((3, Decimal("0.0349")), (1, Decimal("0.005")), (2, Decimal(0)))
    assert Order.objects.get(pk=order.pk).total == Decimal("0.11")
    take_deposit(order.pk, Decimal("0.11"), "cash", CLERK)
    assert of(order).to_pay == 0
