"""The list of quotes costs the same number of queries however long it is."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from quotes.desk.accepting import accept
from quotes.models import Issue, Quote
from tests.quotes import shop

pytestmark = pytest.mark.django_db


def queries(clerk):
    with CaptureQueriesContext(
        connection,
    ) as seen:
        assert clerk.get(reverse("quotes")).status_code == 200
    return len(seen)


def test_twenty_quotes_cost_no_more_queries_than_two(clerk):
    """State, customer and issue of every row come with the list."""
    shop.load_liner()
    first = shop.issued_quote()
    queries(clerk)  # from here on the shop and its people are known
    for _ in range(2):
        copy(first)
    few = queries(clerk)
    for _ in range(18):
        copy(first)
    accept(first.pk, name="Mara", ticked=["Opening 1, Kitchen"])
    assert queries(clerk) == few


def copy(issue):
    quote = Quote.objects.create(customer=issue.quote.customer, currency="USD")
    Issue.objects.create(
        quote=quote, number=1, issued_at=issue.issued_at, valid_until=issue.valid_until
    )
