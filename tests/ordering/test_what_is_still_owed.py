"""The order's page says what is still to be paid, without what was cancelled."""

from decimal import Decimal

import pytest
from django.urls import reverse

from ordering.events import cancel, take_deposit
from ordering.lists.money import owed
from ordering.lists.orders import line_views
from ordering.models import Order
from tests.ordering.placed import CLERK, MANAGER, load_shop, placed_order, user
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop():
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
