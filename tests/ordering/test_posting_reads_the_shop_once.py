"""A mail that is posted reads the shop once: for its sender, for where an answer goes and for its papers."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from ordering import sending
from ordering.models import Notice
from quotes.desk import posting
from tests.ordering.placed import load_shop, sent_order
from tests.quotes.shop import issued_quote, part_opening

pytestmark = pytest.mark.django_db


def readings_of_the_shop(send, *mail) -> int:
    with CaptureQueriesContext(connection) as asked:
        assert send(*mail)
    return sum('FROM "quotes_shop"' in query["sql"] for query in asked)


def test_letter_with_its_papers():
    """A quote on its way to its customer."""
    load_shop()
    letter = posting.send_quote(issued_quote(part_opening()).pk, "mara@quill.example", "ann")
    assert readings_of_the_shop(posting.send_letter.func, letter.pk) == 1


@pytest.mark.parametrize("kind", ["placed", "factory"])
def test_notice(kind):
    """An order's notice to its customer, and a factory order with its papers."""
    load_shop()
    sent_order()
    notice = Notice.objects.get(kind=kind)
    assert readings_of_the_shop(sending.send_notice.func, notice.pk) == 1
