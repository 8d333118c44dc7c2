"""Requests, quotes and orders are narrowed to those that one person of the desk has taken."""

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.urls import reverse

from ordering.find_forms import OrdersFind
from ordering.lists.narrowed import orders_asked_for
from ordering.models import Order
from quotes.find_forms import QuotesFind, RequestsFind
from quotes.lists.quotes import quotes_asked_for
from quotes.lists.requests import requests_asked_for
from quotes.models import Integration, Quote, Request
from tests.ordering.placed import load_shop, placed_order, user
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")
LISTS = {"requests": Request, "quotes": Quote, "orders": Order}


def build():
    load_shop()
    orders = placed_order(part_opening()), placed_order(part_opening())
    User.objects.create(username="ben", first_name="Ben", last_name="Ode")
    for order, by in zip(orders, ("ann", "ben"), strict=True):
        quote = order.acceptance.quote
        for model, row in ((Order, order), (Quote, quote), (Request, quote.request)):
            model.objects.filter(pk=row.pk).update(taken_by=by)


@pytest.fixture
def ann(client):
    client.force_login(user())
    return client


@pytest.mark.parametrize("name", LISTS)
def test_narrowed(built, ann, name):
    """To one person's alone; of nobody's choosing all are there."""
    numbers = [row.pk for row in LISTS[name].objects.filter(taken_by="ben")]
    shown = ann.get(reverse(name), {"by": "ben", "as": "csv"})
    every = ann.get(reverse(name), {"as": "csv"})
    lines = [b"".join(said.streaming_content).splitlines() for said in (shown, every)]
    assert [len(one) for one in lines] == [len(numbers) + 1, LISTS[name].objects.count() + 1]
    assert numbers


@pytest.mark.parametrize("name", LISTS)
def test_everybody_is_offered_by_name(built, ann, name):
    """Whoever works here, by the own name."""
    page = ann.get(reverse(name)).content.decode()
    assert '<option value="ben">Ben Ode</option>' in page


@pytest.mark.parametrize(
    ("name", "by"),
    [
        ("requests", "the measuring page"),
        ("requests", "API: web shop"),
        ("quotes", "API: web shop"),
    ],
)
def test_what_nobody_took(built, ann, name, by):
    """What customers send from the measuring page and programs from outside is chosen as a person's is."""
    Integration.objects.create(name="web shop", key_hash="0")
    model = LISTS[name]
    theirs = model.objects.order_by("pk").first()
    model.objects.filter(pk=theirs.pk).update(taken_by=by)
    page = ann.get(reverse(name)).content.decode()
    assert f'<option value="{by}">{by}</option>' in page
    lines = b"".join(ann.get(reverse(name), {"by": by, "as": "csv"}).streaming_content)
    assert len(lines.splitlines()) == 2


@pytest.mark.parametrize(
    "rows",
    [
        lambda by: requests_asked_for(RequestsFind(by).said).every(),
        lambda by: quotes_asked_for(QuotesFind(by).said).every(),
        lambda by: orders_asked_for(OrdersFind(by).said).every(),
        lambda by: orders_asked_for(OrdersFind({**by, "stands": "all"}).said).every(),
    ],
)
def test_an_index_has_them_in_order(built, rows):
    """Of a million, one person's newest are come by without a look at the others."""
    if connection.vendor == "sqlite":
        how = rows({"by": "ben"}).values_list("pk")[:25].explain()
        assert "of_clerk (taken_by=?" in how and "TEMP B-TREE" not in how


def test_with_words(built):
    """Of what is found by them, too."""
    found = orders_asked_for(OrdersFind({"by": "ben", "q": "Mara Quill"}).said).every()
    assert [order.taken_by for order in found] == ["ben"]
