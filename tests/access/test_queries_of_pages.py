"""How many questions each page of the desk asks the database: a number each, whatever the rows."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from config.access import KEY, LINK, NO, PUBLIC, RULES
from ordering.models import FactoryOrder, Order
from quotes.models import Customer, Quote, Request
from sizing.models import Factory, Family
from tests.access.addresses import addresses
from tests.ordering.placed import load_shop, sent_order, user
from tests.quotes.shop import part_opening, take_request

pytestmark = pytest.mark.django_db

# An owner's, with sessions, roles and the shop's name; a page not in here fails the first test below.
QUERIES = {
    "begin": 12, "counter": 7, "counter-kept": 4, "customer": 23, "customer-data": 32,
    "customer-new": 6, "customers": 7, "factory": 4, "factory-calendar": 8, "factory-order": 8,
    "factory-orders": 5, "home": 31, "lead-time": 5, "measuring": 5, "kept": 3, "notice-texts": 4,
    "order": 10, "order-by-hand": 3, "orders": 8, "own": 8, "own-again": 3, "own-code": 5,
    "month": 9, "password": 3, "pasted": 6, "prices": 11, "programs": 4, "quote": 12, "quotes": 6, "record": 5,
    "request": 18, "request-customer": 7, "requests": 6, "rules": 4, "schedules": 6,
    "send-to-factories": 4, "shop": 4, "size-table": 5,
    "size-table-example-workbook": 3, "size-tables": 6, "specials": 8, "staff": 6, "watch": 17, "when": 3,
}  # fmt: skip
# The first page names four of a kind and counts them only when there are more.
FEW, MANY = 5, 12


# Pages of one thing: its key is that of the first of its kind.
OF_ONE = {
    "customer": Customer, "factory": Factory, "factory-calendar": Factory, "factory-order": FactoryOrder,
    "order": Order, "quote": Quote, "request": Request, "request-customer": Request, "lead-time": Request,
    "customer-data": Customer, "size-table": Family,
}  # fmt: skip


def pages() -> dict[str, str]:
    """{name: address} of every page of the desk, of one thing or of none."""
    found = {}
    for name, pattern in addresses().items():
        if name not in RULES or RULES[name].read in (NO, PUBLIC, LINK, KEY):
            continue
        if name in OF_ONE:
            first = OF_ONE[name].objects.order_by("pk").first() or OF_ONE[name](pk=0)
            found[name] = "/" + re.sub(
                "<[^>]+>", str(getattr(first, "code", None) or first.pk), pattern
            )
        elif "<" not in pattern:
            found[name] = f"/{pattern}"
    return found


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


def test_a_page_asks_as_often_for_a_dozen_rows_as_for_five(settings):
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
