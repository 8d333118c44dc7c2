"""A bare number is first of all the number of an order: its own answer is read out before those that hold it otherwise."""

import re

import pytest
from django.urls import reverse

from ordering.events import HandLine, place_by_hand
from quotes.models import Customer
from tests.ordering.placed import CLERK, load_shop, user

pytestmark = pytest.mark.usefixtures("built")


def build():
    """Mara Quill's order, and younger ones of others that hold its number in their lines."""
    load_shop()
    meant, *others = (Customer.objects.create(name=f"Customer {letter}") for letter in "ABCDEFG")
    first = place_by_hand(meant.pk, [HandLine("", "Box of screws", 1)], CLERK)
    for other in others:
        place_by_hand(other.pk, [HandLine("", f"Screws for {first.pk:05}", 1)], CLERK)
    return {"first": first, "others": others}


def orders_shown(client, scrap):
    client.force_login(user("sam", "staff"))
    page = client.get(reverse("when"), {"q": scrap}).content.decode()
    return re.findall(r">(C-\d{5})<", page)


@pytest.mark.parametrize("scrap", ["{pk}", "{pk:05}"])
def test_the_order_of_that_number_comes_first(client, built, scrap):
    """As it is typed on the phone, with noughts or without, the younger ones behind it."""
    first = built["first"]
    shown = orders_shown(client, scrap.format(pk=first.pk))
    assert shown[0] == first.number and len(set(shown)) == 7


def test_among_those_that_are_told_in_full(client, built):
    """Where few hold the number all are read out, its own first."""
    first = built["first"]
    for other in built["others"][2:]:
        other.orders.get().words.all().delete()
    assert orders_shown(client, str(first.pk))[0] == first.number


def test_not_by_the_end_of_a_phone(client, built):
    """Four digits with a nought before them are the end of a phone: the order stands where it stood."""
    first = built["first"]
    Customer.objects.filter(name="Customer G").update(scraps=f"customer g\n8025550{first.pk:03}")
    shown = orders_shown(client, f"0{first.pk:03}")
    assert shown[0] != first.number
