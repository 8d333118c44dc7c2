"""An order without a quote passes the same checks."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from ordering.events import HandLine, PlacingError, place_by_hand
from ordering.models import Order
from quotes.models import Customer
from sizing.models import Part
from tests.ordering.placed import CLERK, load_shop, user

pytestmark = pytest.mark.django_db


@pytest.fixture
def number():
    load_shop()
    return Part.objects.exclude(part_number="").first().part_number


@pytest.fixture
def customer():
    return Customer.objects.create(name="Henrik Aalto")


def test_a_part_by_its_number(customer, number):
    """The number, however it is cased, takes words, price and factory from the table in force."""
    order = place_by_hand(customer.pk, [HandLine(number.lower(), "", 4)], CLERK)
    line = order.lines.get()
    assert (line.part_number, line.quantity, line.sold_as) == (number, 4, "pair")
    assert line.unit_price == line.part.price
    assert line.description.startswith("Otter Hollow jamb liner, glass")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (HandLine("NOT-A-PART", "", 1), "no size table in force offers"),
        (HandLine("", "screws", 0), "between 1 and"),
        (HandLine("", " ", 1), "type a part number or say what it is"),
    ],
)
def test_a_line_that_cannot_be(customer, number, line, words):
    """One bad line refuses the whole order with its place, and nothing is written."""
    with pytest.raises(PlacingError, match=words) as refused:
        place_by_hand(customer.pk, [HandLine(number, "", 1), line], CLERK)
    assert refused.value.place == 1
    assert not Order.objects.exists()


def test_a_merged_customer(customer, number):
    """Nobody orders for a customer that went into another one."""
    gone = Customer.objects.create(name="H. Aalto", merged_into=customer)
    with pytest.raises(PlacingError, match="merged into Henrik Aalto"):
        place_by_hand(gone.pk, [HandLine(number, "", 1)], CLERK)


def test_one_page_one_order(customer, number):
    """The page sent twice makes one order."""
    page = uuid4()
    first = place_by_hand(customer.pk, [HandLine(number, "", 1)], CLERK, page=page)
    assert place_by_hand(customer.pk, [HandLine(number, "", 1)], CLERK, page=page) == first


def test_the_page_keeps_what_was_typed(client, customer, number):
    """A refused page comes back with everything that was typed and says what to mend."""
    client.force_login(user())
    typed = {
        "customer": customer.pk, "page": uuid4(), "part-0": "NOT-A-PART", "count-0": "3",
        "needed_by": "2031-05-14", "note": "ring first",
    }  # fmt: skip
    answer = client.post(reverse("order-by-hand"), typed)
    assert answer.status_code == 422
    shown = answer.content.decode()
    assert "no size table in force offers" in shown
    assert 'value="NOT-A-PART"' in shown and "ring first" in shown and "2031-05-14" in shown
    typed["part-0"] = number
    assert client.post(reverse("order-by-hand"), typed).status_code == 302
    placed = Order.objects.get()
    assert placed.lines.get().quantity == 3
    assert placed.needed_by == date(2031, 5, 14) and placed.pickup


def test_a_price_without_a_part_is_not_lost(client, customer, number):
    """A count and a price were typed and the part forgotten: nothing is placed without that line."""
    client.force_login(user())
    typed = {
        "customer": customer.pk,
        "page": uuid4(),
        "part-0": number,
        "count-1": "2",
        "price-1": "$12.50",
    }
    answer = client.post(reverse("order-by-hand"), typed)
    assert answer.status_code == 422
    assert (
        "Line 2 has no part" in answer.content.decode()
        and 'value="$12.50"' in answer.content.decode()
    )
    assert not Order.objects.exists()


def test_what_nobody_pays(customer, number):
    """An eight-digit number slipped into the price: no list could show the order, so none is made."""
    line = HandLine("", "cord", 101, Decimal("99999999"))
    with pytest.raises(
        PlacingError, match=r"comes to 10,099,999,899\.00 USD: check its quantities"
    ):
        place_by_hand(customer.pk, [line], CLERK)
    assert not Order.objects.exists()
