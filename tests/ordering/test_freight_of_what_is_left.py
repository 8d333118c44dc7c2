"""Of an order cancelled in part, the desk reads what the rest would go for by the rates it was quoted at."""

from datetime import timedelta
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone
from moneyed import Money

from ordering.events import cancel, place_from_quote
from quotes.desk.accepting import accept
from quotes.desk.drafts import Head, change_head
from quotes.desk.issuing import issue_quote
from quotes.models import Address, FreightStep, TaxRate
from tests.ordering.placed import CLERK, load_shop, user
from tests.quotes.shop import draft_quote, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    """Freight is taxed here: it comes off with its tax."""
    load_shop()
    TaxRate.objects.update(on_freight=True)


def order_of(quantity=60, *, pickup=False, agreed=None):
    issue = draft_quote(part_opening(quantity=quantity), part_opening("Porch"))
    place = Address.objects.create(customer=issue.quote.customer, town="Eld", region="VT")
    change_head(issue.pk, Head(None if pickup else place, pickup, agreed, "", 30))
    issue = issue_quote(issue.pk, "ann")
    accept(issue.pk, name="Mara", ticked=[one["name"] for one in issue.document["openings"]])
    return place_from_quote(issue.quote_id, CLERK)


def less(order, count, line=1):
    cancel(order.pk, [line], "fewer windows", CLERK, tells=False, counts={line: count})


@pytest.fixture
def page(client):
    def read(order):
        client.force_login(user())
        return client.get(reverse("order", args=[order.pk])).content.decode()

    return read


def test_fewer_parcels(page):
    """What the freight would be and what that makes with its tax; nothing of it is booked."""
    order = order_of()
    sums = order.acceptance.issue.document["sums"]
    assert (sums["freight"], sums["freight_tax"]) == ("93.60", "5.73")
    less(order, 50)
    assert (
        "Freight was quoted at 93.60 USD; the rest is 1 parcel by cart for 23.40 USD: 74.50 USD less, "
        "tax included. Nothing of it is booked"
    ) in page(order)


def test_by_the_rates_of_the_quote(page):
    """Rates that came later change nothing of it."""
    order = order_of()
    old = FreightStep.objects.get()
    FreightStep.objects.create(
        in_force_from=order.placed_on + timedelta(days=5), carrier="cart", length=old.length,
        length_and_girth=old.length_and_girth, weight=old.weight, price=old.price * 3,
    )  # fmt: skip
    with time_machine.travel(timezone.now() + timedelta(days=9)):
        less(order, 50)
        assert "the rest is 1 parcel by cart for 23.40 USD" in page(order)


def test_a_rate_finer_than_a_cent(page):
    """Quoted as 93.60, it goes for the same with a piece less: nothing is said of 0.00."""
    FreightStep.objects.update(price=Money("23.4012", "USD"))
    order = order_of()
    assert order.acceptance.issue.document["sums"]["freight"] == "93.60"
    less(order, 1)
    assert "Freight was quoted" not in page(order)


@pytest.mark.parametrize("count", [0, 1])
def test_while_it_goes_for_the_same(page, count):
    """Nothing cancelled, or so little that the rest fills as many parcels."""
    order = order_of()
    if count:
        less(order, count)
    assert "Freight.</strong>" not in page(order)


def test_picked_up(page):
    order = order_of(pickup=True)
    less(order, 50)
    assert "Freight.</strong>" not in page(order)


def test_all_of_it_cancelled(page):
    """Then all of it comes off, freight included."""
    order = order_of()
    cancel(order.pk, [1, 2], "the house is sold", CLERK, tells=False)
    assert "Freight.</strong>" not in page(order)


def test_agreed_for_all_of_it(page):
    """A price that somebody asked for is asked for again."""
    order = order_of(agreed=Decimal("85.00"))
    less(order, 50)
    assert (
        "Freight was quoted at 85.00 USD, as agreed for all of it: ask what the rest goes for."
    ) in page(order)
