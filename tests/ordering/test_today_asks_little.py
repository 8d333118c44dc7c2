"""The first page asks the database as often for much work as for little."""

import pytest
from django.test import Client

from tests.ordering.placed import load_shop, sent_order, user
from tests.quotes.shop import cottage_opening, draft_quote, part_opening, take_request

pytestmark = pytest.mark.django_db
MOST = 36


def work(times):
    for _ in range(times):
        take_request(part_opening())
        take_request(cottage_opening())
        draft_quote(part_opening())
        sent_order()


def test_as_few_for_much(django_assert_max_num_queries):
    """Three times the work takes not one question more, and the whole page stays below a fixed number."""
    load_shop()
    client = Client()
    client.force_login(user("kay", "owner"))
    work(6)
    client.get("/")
    with django_assert_max_num_queries(MOST) as few:
        client.get("/")
    work(12)
    with django_assert_max_num_queries(len(few.captured_queries)):
        client.get("/")
