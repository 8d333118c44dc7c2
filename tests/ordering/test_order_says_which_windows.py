"""A customer with many windows reads on the order's page which of them each line is for, and how to reach the shop."""

import pytest
from django.test import Client

from ordering.events import make_again, place_from_quote, shipped
from ordering.links import page_of, page_of_factory
from ordering.states import Cause
from quotes.desk.shop import keep_shop
from tests.ordering.placed import CLERK, FACTORY, accepted_quote, load_shop, sent_order
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    keep_shop({"name": "Tarnbrook", "phone": "+1 802 555 0142", "email": "counter@tarn.example"})


def shown(address):
    return Client().get("/" + address.split("/", 3)[3]).text


def test_each_line_names_its_windows():
    """As they were named in the quote; a piece made again is for the same ones."""
    windows = part_opening("Unit 101"), cottage_opening("Unit 310"), part_opening("Unit 102")
    page = shown(page_of(place_from_quote(accepted_quote(*windows).pk, CLERK)))
    assert "For <bdi>Opening 1, Unit 101; Opening 3, Unit 102</bdi>" in page
    assert "For <bdi>Opening 2, Unit 310</bdi>" in page


def test_what_is_made_again_is_for_the_same_window():
    """The customer knows where the second one goes."""
    order, sent = sent_order(part_opening("Unit 7", quantity=3))
    line = order.lines.get()
    shipped(sent.pk, {line.pk: 3}, order.placed_on, FACTORY)
    make_again(line.pk, 1, Cause.CARRIER, "crushed", CLERK, tells=False)
    assert shown(page_of(order)).count("For <bdi>Opening 1, Unit 7</bdi>") == 2


def test_the_shop_is_one_press_away():
    """Phone and mail are links, and the mail says what it is about: the customer's and the factory's page alike."""
    order, sent = sent_order()
    for page, about in (
        (shown(page_of(order)), order.number),
        (shown(page_of_factory(sent)), f"Factory%20order%20{sent.number}"),
    ):
        assert 'href="tel:+18025550142"' in page
        assert f'href="mailto:counter@tarn.example?subject={about}"' in page


@pytest.mark.parametrize("address", ["/o/x/", "/your-quote/x/", "/for-the-factory/x/"])
def test_a_link_that_opens_nothing_says_whom_to_call(address):
    """Who opens it months too late is told to ask for a new one, and where."""
    page = Client().get(address).text
    assert 'href="tel:+18025550142"' in page and 'href="mailto:counter@tarn.example"' in page
