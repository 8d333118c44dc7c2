"""Who changes their mind after they accepted is quoted anew; the desk is told that the first order goes on."""

import pytest
from django.urls import reverse

from quotes.desk.accepting import accept
from quotes.desk.issuing import issue_quote
from quotes.models import Quote
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")
WARNED = "is accepted already"


def build():
    shop.set_up()


@pytest.fixture
def first():
    issue = shop.issued_quote()
    accept(issue.pk, name="Mara Quill", ticked=["Opening 1, Kitchen"])
    return issue.quote


def page_of(clerk, quote):
    return clerk.get(reverse("quote", args=[quote.pk])).text


def test_the_draft_and_the_issue_say_so(clerk, first):
    """Before it is issued, and before it is accepted on the customer's word."""
    draft = shop.draft_of(first.request)
    assert draft.quote != first
    page = page_of(clerk, draft.quote)
    assert WARNED in page and reverse("quote", args=[first.pk]) in page
    issue_quote(draft.pk, "ann")
    assert WARNED in page_of(clerk, draft.quote)


def test_not_once_it_is_accepted(clerk, first):
    """When both are accepted it is done, and neither page goes on warning."""
    other = issue_quote(shop.draft_of(first.request).pk, "ann")
    accept(other.pk, name="Mara Quill", ticked=["Opening 1, Kitchen"])
    assert WARNED not in page_of(clerk, first) + page_of(clerk, other.quote)


def test_not_of_what_is_still_open(clerk):
    """A quote that stands alone, and one beside which nothing is accepted, say nothing."""
    quote = shop.issued_quote().quote
    assert WARNED not in page_of(clerk, quote)
    Quote.objects.create(request=quote.request, customer=quote.customer, currency=quote.currency)
    page = page_of(clerk, quote)
    assert "also quote" in page and WARNED not in page


def test_not_of_another_currency(clerk, first):
    """What is priced in another currency is other windows' parts: nothing of it is made twice."""
    draft = shop.draft_of(first.request)
    Quote.objects.filter(pk=first.pk).update(currency="CAD")
    assert WARNED not in page_of(clerk, draft.quote)
