"""A character that PostgreSQL stores in no text is no trouble in any box: nothing found, a sentence, or kept without it."""

import pytest
from django.db import transaction
from django.test import Client

from ordering.lists.finding import find_orders
from quotes.lists.people import find_customers
from quotes.lists.quotes import find_quotes
from quotes.lists.requests import find_requests
from tests.access.boxes import forms_of
from tests.browser.pages import pages
from tests.faults.fresh import ENGINE


@pytest.mark.parametrize("find", [find_customers, find_orders, find_quotes, find_requests])
@pytest.mark.parametrize("scrap", ["xyl\0ophone", "zither \0 lute"])
def test_nothing_is_found(find, scrap, built, db):
    """Words with it are looked for without it."""
    found = find(scrap)
    assert list(found.every() if hasattr(found, "every") else found) == []


@pytest.mark.skipif(ENGINE == "sqlite", reason="SQLite stores a NUL like any other letter")
def test_no_box_breaks(built, db):
    """Every box of every page, with the others as they stand."""
    people, arguments = built
    client = Client(raise_request_exception=False)
    client.force_login(people["owner"])
    tried, broken = set(), set()
    for at in pages(people["owner"], arguments).values():
        for method, addresses, boxes in forms_of(client.get(at).text, at):
            for sent_to in addresses:
                for box in boxes.keys() - {"csrfmiddlewaretoken", "do"}:
                    if (sent_to, box) in tried:
                        continue
                    tried.add((sent_to, box))
                    mark = transaction.savepoint()
                    answer = getattr(client, method)(sent_to, boxes | {box: "ma\0ra"})
                    transaction.savepoint_rollback(mark)
                    if answer.status_code >= 500:
                        broken.add((sent_to, box))
    assert broken == set()
    assert len(tried) > 150
