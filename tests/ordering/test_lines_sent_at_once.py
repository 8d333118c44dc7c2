"""However many lines an order has, they go through it with the same few questions to the database."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from ordering.events import (
    HandLine,
    give_dates,
    place_by_hand,
    send_to_factories,
    shipped,
)
from ordering.models import PastOrder
from quotes.models import Customer
from tests.ordering.placed import CLERK, FACTORY, load_shop

pytestmark = pytest.mark.usefixtures("built")

TODAY = datetime.date.today()


def build():
    load_shop()


def asked(act, *given) -> tuple[int, object]:
    with CaptureQueriesContext(connection) as queries:
        done = act(*given)
    return len(queries), done


def way_of(count: int) -> list[int]:
    """How many questions the steps of an order of so many lines take."""
    customer = Customer.objects.create(name=f"Caller of {count}")
    lines = [HandLine("OHL-05MS", "", 2)] * count
    order = place_by_hand(customer.pk, lines, CLERK)
    keys = [line.pk for line in order.lines.all()]
    sending, (sent,) = asked(send_to_factories, keys, CLERK)
    promising, _ = asked(give_dates, sent.pk, dict.fromkeys(keys, TODAY), FACTORY)
    leaving, _ = asked(shipped, sent.pk, dict.fromkeys(keys, 2), TODAY, FACTORY)
    assert {line.step for line in order.lines.all()} == {"left"}
    assert PastOrder.objects.filter(shipped_on=TODAY).count() == count
    PastOrder.objects.all().delete()
    return [sending, promising, leaving]


def test_as_many_for_three_as_for_twelve():
    """Lines sent, promised and gone."""
    way_of(1)
    assert way_of(3) == way_of(12)
