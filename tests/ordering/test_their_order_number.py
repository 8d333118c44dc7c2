"""A customer who orders under a number of their own finds it again on all that we write about the order."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from ordering.events import HandLine, place_by_hand, place_from_quote
from ordering.events.erasing import erase_customer
from ordering.links import page_of
from ordering.lists.narrowed import orders_asked_for
from ordering.models import Notice, Order
from quotes.desk.posting import send_quote
from quotes.links import token_of
from quotes.models import Acceptance, Customer, Letter
from tests.ordering.placed import CLERK, load_shop, user
from tests.quotes.shop import issued_quote, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    Customer.objects.update(channel="email")
    return issued_quote(part_opening())


def pressed(issue, number):
    data = {"name": "Mara Quill", "tick-0": "yes", "their_number": number}
    return Client().post(reverse("quote-accept", args=[token_of(issue.link.nonce)]), data)


def test_it_is_typed_as_the_quote_is_accepted(built):
    """Acceptance, its mail, the order, its page, its mail and the desk's page all say it; a search finds it."""
    send_quote(built.pk, "mara@quill.example", "ann")
    assert pressed(built, "PO 2207-A").status_code == 302
    words = "under the order number PO 2207-A"
    assert Acceptance.objects.get().their_number == "PO 2207-A"
    assert words in Letter.objects.latest("pk").body
    order = place_from_quote(built.quote_id, CLERK)
    assert order.known_as == f"{order.number} (your number PO 2207-A)"
    notice = Notice.objects.get()
    assert notice.subject == f"Order {order.known_as} is placed" and order.known_as in notice.body
    page = Client().get(page_of(order).removeprefix("http://127.0.0.1:8000")).content.decode()
    assert f"Order {order.known_as}" in re.sub("</?span[^>]*>", "", page)
    client = Client()
    client.force_login(user())
    page = client.get(reverse("order", args=[order.pk])).content.decode()
    assert "PO 2207-A" in re.sub("</?span[^>]*>", "", page)
    said = {
        "q": "2207-A",
        "stands": "",
        "family": "",
        "customer": None,
        "by": "",
        "since": None,
        "until": None,
    }
    assert list(orders_asked_for(said).every()) == [order]


def test_without_one_nothing_is_said_of_it(built):
    """Most callers have none: the order's number stands alone."""
    pressed(built, "")
    order = place_from_quote(built.quote_id, CLERK)
    assert order.known_as == order.number
    assert "(" not in Notice.objects.get().subject


def test_one_that_is_too_long_is_refused_with_what_was_typed(built):
    """Nothing is accepted, and the page gives the number back."""
    answer = pressed(built, "9" * 41)
    assert answer.status_code == 422 and not Acceptance.objects.exists()
    assert "9" * 41 in answer.content.decode() and "shorten it to 40" in answer.content.decode()


def test_the_desk_types_it_for_them(built):
    """On the customer's word, and for an order without a quote."""
    client = Client()
    client.force_login(user())
    said = {"name": "Mara", "how": "phone", "their_number": "77", "measures_read_out": "on"}
    client.post(reverse("quote-word", args=[built.pk]), said)
    assert Acceptance.objects.get().their_number == "77"
    customer = built.quote.customer
    order = place_by_hand(customer.pk, [HandLine("", "Cord", 1)], CLERK, their_number="78")
    assert Order.objects.get(pk=order.pk).their_number == "78"


def test_it_goes_with_the_customer(built):
    """Who is erased leaves no number of their own books."""
    pressed(built, "PO 99784")
    order = place_from_quote(built.quote_id, CLERK)
    Order.objects.filter(pk=order.pk).update(is_open=False)
    order.lines.update(is_open=False)
    erase_customer(order.customer_id, "max")
    assert Order.objects.get().their_number == "" == Acceptance.objects.get().their_number
    assert not Order.objects.get().words.filter(word="99784").exists()
