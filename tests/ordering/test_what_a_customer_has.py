"""A customer's page leads with their orders and quotes, and each list can be narrowed to what is theirs."""

import re

import pytest
from django.urls import reverse

from ordering.models import Order
from quotes.models import Customer
from sizing.models import Family
from tests.ordering.placed import load_shop, placed_order, user
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    """Mara has an order, Otis another one."""
    load_shop()
    mara = placed_order(part_opening())
    otis = placed_order(
        part_opening(), caller="Otis Rand", phone="802 555 0190", email="otis@rand.example"
    )
    assert mara.customer != otis.customer
    return mara, otis


@pytest.fixture
def two(built, client):
    """Who is signed in is of the counter."""
    client.force_login(user())
    return built


def numbers(page) -> list[str]:
    """The orders and quotes that a page's tables lead to."""
    return re.findall(
        r'<td[^>]*><a href="/(?:orders|quotes)/\d+/">([^<]+)</a>', page.content.decode()
    )


def test_orders_and_quotes_stand_on_the_customers_page(client, two):
    """Those of this customer and of nobody else, above the form; how an order stands is said."""
    mara, otis = two
    page = client.get(reverse("customer", args=[mara.customer_id]))
    assert numbers(page) == [mara.number, mara.acceptance.quote.number]
    words = page.content.decode()
    assert words.index(mara.number) < words.index('name="name"') and otis.number not in words


def test_more_than_a_few_are_reached(client, two):
    """Five are shown; the rest stand in the list itself, narrowed to the customer, closed ones, too."""
    mara, _otis = two
    while Order.objects.filter(customer=mara.customer_id).count() < 7:
        placed_order(part_opening())
    Order.objects.filter(pk=mara.pk).update(is_open=False)
    page = client.get(reverse("customer", args=[mara.customer_id]))
    mine = Order.objects.filter(customer=mara.customer_id).order_by("-is_open", "-id")
    assert numbers(page)[:5] == [order.number for order in mine[:5]]
    (address,) = re.findall(
        r'href="(/orders/\?customer=\d+)">All 7 of theirs', page.content.decode()
    )
    shown = client.get(address)
    assert numbers(shown) == [f"{order.number}" for order in mine]
    assert "Mara Quill</option>" in shown.content.decode()


@pytest.mark.parametrize("name", ["orders", "quotes", "requests"])
def test_a_list_is_narrowed_to_a_customer(client, two, name):
    """Beside what else narrows it; the file holds the same rows; without it nobody is asked for."""
    _mara, otis = two
    asked = {"customer": otis.customer_id, "as": "csv"}
    lines = b"".join(client.get(reverse(name), asked).streaming_content).decode().splitlines()
    assert len(lines) == 2 and "Otis Rand" in lines[1]
    code = Family.objects.values_list("code", flat=True).get()
    both = client.get(reverse(name), {"customer": otis.customer_id, "family": code, "q": "mara"})
    assert "No " in both.content.decode() and both.status_code == 200
    assert 'name="customer"' not in client.get(reverse(name)).content.decode()


@pytest.mark.parametrize("key", ["987654", "x", "-1", "9" * 30])
def test_no_such_customer(client, two, key):
    """Says that there is none, and shows no other's as theirs."""
    page = client.get(reverse("orders"), {"customer": key})
    assert page.status_code == 422 and "No such choice" in page.content.decode()
    assert Customer.objects.count() == 2
