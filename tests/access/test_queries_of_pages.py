"""How many questions each page of the desk asks the database: a number each, whatever the rows."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from config.access import KEY, LINK, NO, PUBLIC, RULES
from tests.access.addresses import addresses
from tests.ordering.placed import load_shop, sent_order, user
from tests.quotes.shop import part_opening, take_request

pytestmark = pytest.mark.django_db

# An owner's, with sessions, roles and the shop's name; a page not in here fails the first test below.
QUERIES = {
    "begin": 5, "counter": 8, "counter-kept": 5, "customer-new": 7, "customers": 8,
    "factory-orders": 8, "home": 25, "measuring": 6, "notice-texts": 19, "order-by-hand": 4,
    "orders": 10, "own": 9, "own-again": 4, "own-code": 6, "password": 4, "pasted": 7,
    "prices": 16, "programs": 6, "quotes": 10, "record": 8, "requests": 8, "rules": 5,
    "schedules": 7, "send-to-factories": 5, "shop": 5, "size-tables": 7, "specials": 10,
    "staff": 7, "watch": 14, "when": 4,
}  # fmt: skip
# The first page names four of a kind and counts them only when there are more.
FEW, MANY = 5, 30


def pages() -> dict[str, str]:
    """{name: address} of every page of the desk that needs no number or code in its address."""
    return {
        name: f"/{pattern}"
        for name, pattern in addresses().items()
        if "<" not in pattern and name in RULES and RULES[name].read not in (NO, PUBLIC, LINK, KEY)
    }


def rows(since: int, until: int) -> None:
    for n in range(since, until):
        sent_order(caller=f"Mara Quill {n}", email=f"mara{n}@quill.example")
        take_request(part_opening(), caller=f"Ida Lorne {n}", email=f"ida{n}@lorne.example")


def counted(client: Client) -> dict[str, int]:
    found = {}
    for name, address in pages().items():
        client.get(address)
        with CaptureQueriesContext(connection) as seen:
            client.get(address)
        found[name] = len(seen)
    return found


def test_every_page_has_its_number():
    """A new page is written down with what it costs."""
    assert set(QUERIES) == set(pages())


def test_a_page_asks_as_often_for_thirty_rows_as_for_five(settings):
    """Neither a page's number nor its independence of the rows changes unseen."""
    load_shop()
    client = Client()
    client.force_login(user("ida", "owner"), backend="django.contrib.auth.backends.ModelBackend")
    rows(0, FEW)
    few = counted(client)
    rows(FEW, MANY)
    many = counted(client)
    assert {name: (few[name], many[name]) for name in few if few[name] != many[name]} == {}
    assert many == QUERIES
