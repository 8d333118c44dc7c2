"""A mail about a part of an order is understood by who has no other at hand: its lines are named, its reason is one."""

from datetime import timedelta

import pytest
from django.utils import timezone

from ordering.events import give_dates, shipped, write
from ordering.models import Notice
from ordering.states import Act
from quotes.models import Customer
from tests.ordering.placed import CLERK, FACTORY, load_shop, sent_order
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    """Two lines of two parts at one factory."""
    load_shop()
    return sent_order(part_opening(quantity=3), part_opening("Hall", 4, "ash"))


def last():
    return Notice.objects.filter(factory_order=None).latest("pk").body


def test_what_is_still_to_come_is_named(built):
    """By number, count and part, also where the mail lists nothing but the same line above."""
    order, sent = built
    one, two = order.lines.all()
    today = timezone.localdate()
    shipped(sent.pk, {two.pk: 1}, today, FACTORY)
    shipped(sent.pk, {one.pk: 1}, today, FACTORY)
    _above, _, rest = last().partition("What is still to come:\n")
    assert rest.startswith(f"1. 2 pairs of {one.part_number}, ")
    assert f"\n2. 3 pairs of {two.part_number}, " in rest
    write(order.pk, Act.ARRIVED, {1: 1}, CLERK)
    assert f"\n2. 3 pairs of {two.part_number}, " in last()
    shipped(sent.pk, {one.pk: 2}, today, FACTORY)
    shipped(sent.pk, {two.pk: 1}, today, FACTORY)
    _above, _, rest = last().partition("What is still to come:\n")
    assert rest.startswith(f"2. 2 pairs of {two.part_number}, ") and "\nIt should leave" in rest


def test_a_reason_says_that_it_is_one(built):
    """What somebody typed in a few words stands behind “Why:”, in the customer's language."""
    order, sent = built
    line, today = order.lines.first(), timezone.localdate()
    give_dates(sent.pk, {line.pk: today + timedelta(30)}, FACTORY)
    give_dates(sent.pk, {line.pk: today + timedelta(60)}, FACTORY, "extruder down")
    assert "\n\nWhy: extruder down\n\n" in last()
    Customer.objects.update(language="es")
    give_dates(sent.pk, {line.pk: today + timedelta(75)}, FACTORY, "still down")
    assert "\n\nMotivo: still down\n\n" in last()
