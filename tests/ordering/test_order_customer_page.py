"""The customer's page: plain words and the window told, nothing of the shop's own."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone

from ordering.events import give_dates, write
from ordering.links import page_of
from ordering.states import Act
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, sent_order

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    order, sent = sent_order()
    order.sent = sent
    return order


@pytest.fixture
def order(built):
    return built


def shown(client, order):
    answer = client.get("/" + page_of(order).split("/", 3)[3])
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_window_and_why_it_moved(client, order):
    """A moved date is there with its reason and the new window."""
    line, today = order.lines.get(), timezone.localdate()
    give_dates(order.sent.pk, {line.pk: today + timedelta(30)}, FACTORY)
    give_dates(order.sent.pk, {line.pk: today + timedelta(60)}, FACTORY, "The mill had no slate.")
    page = shown(client, order)
    line.refresh_from_db()
    assert "The mill had no slate." in page
    assert f"{line.told_latest.day} {line.told_latest:%B}" in page
    assert "the factory says" in page


def test_nothing_of_the_shops_own(client, order):
    """Notes, names of clerks, reasons for a cancellation and what the customer paid stay inside."""
    write(order.pk, Act.NOTED, {}, CLERK, why="difficult customer")
    write(order.pk, Act.CANCELLED, {1: 3}, MANAGER, why="bad debts")
    page = shown(client, order)
    assert "was cancelled" in page
    for inside in ("difficult", "bad debts", "ann", "max", "Otter Hollow Millwork"):
        assert not re.search(rf"\b{inside}\b", page)


def test_a_wrong_address_opens_nothing(client, order):
    """A changed letter, a short token and a number are all not found."""
    address = "/" + page_of(order).split("/", 3)[3]
    wrong = address[:-3] + ("aa" if address[-3:-1] != "aa" else "bb") + "/"
    for path in (wrong, "/o/x/", f"/o/{order.pk}/"):
        assert client.get(path).status_code == 404
