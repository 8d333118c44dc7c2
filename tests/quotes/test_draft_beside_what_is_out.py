"""A draft says what the customer has meanwhile, and a request says what quotes were made of it."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from quotes.desk.accepting import accept, ordered
from quotes.desk.drafts import next_issue
from quotes.links import token_of
from quotes.lists.issue_states import quotes_of, state_of
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()
    return shop.issued_quote(shop.part_opening())


@pytest.fixture
def issue(built):
    return built


def accepted(issue):
    return accept(issue.pk, name="Mara Quill", ticked=["Opening 1, Kitchen"])


def page(client, issue):
    return client.get(reverse("quote", args=[issue.quote_id])).content.decode()


def test_it_names_the_issue_that_is_out(issue):
    """Whoever opens the draft sees that the customer can still accept the issue before it."""
    sentence = state_of(next_issue(issue.quote_id)).sentence
    assert sentence.startswith("Not issued yet; issue 1 is out and holds until ")


def test_it_names_the_issue_that_lapsed(issue):
    """What can't be accepted any more is not called open."""
    draft = next_issue(issue.quote_id)
    later = timezone.localdate() + timedelta(days=60)
    assert "issue 1 is out, it held until" in state_of(draft, later).sentence


def test_after_acceptance_it_cannot_be_issued_and_says_so(issue, clerk):
    """The customer accepted while the next issue lay begun: no button promises what would be refused."""
    next_issue(issue.quote_id)
    accepted(issue)
    shown = page(clerk, issue)
    assert "Not issued yet; issue 1 was accepted by Mara Quill" in shown
    assert 'value="issue"' not in shown and 'value="issue-mail"' not in shown
    assert 'value="discard"' in shown and "changes now goes through the order" in shown


def test_the_request_names_its_quotes(issue, clerk):
    """A caller of yesterday is found by the request; what they were quoted stands there."""
    request = issue.quote.request
    shown = clerk.get(reverse("request", args=[request.pk])).content.decode()
    assert f'<a href="/quotes/{issue.quote_id}/">{issue.quote.number}</a>, issue 1: Open.' in shown
    next_issue(issue.quote_id)
    assert [quote.state.word for quote in quotes_of(request)] == ["draft"]


def test_an_accepted_quote_leads_on_to_its_order(issue, clerk):
    """What was accepted is placed from its own page; once it is placed the page leads to the order."""
    taken = accepted(issue)
    assert f'action="/orders/place/{issue.quote_id}/"' in page(clerk, issue)
    ordered(taken)
    shown = page(clerk, issue)
    assert "/orders/place/" not in shown and f'href="/orders/?q={issue.quote.number}"' in shown


def test_the_customer_reads_what_comes_next(issue):
    """Acceptance is no trouble and gets no mark of one; the page says what happens now."""
    taken = accepted(issue)
    address = reverse("quote-public", args=[token_of(issue.link.nonce)])
    shown = Client().get(address).content.decode()
    assert '<p class="notice" role="status"' in shown
    assert "We place the order next and tell you." in shown
    ordered(taken)
    assert "The order is placed." in Client().get(address).content.decode()


def test_the_total_stands_at_the_head(issue, clerk):
    """It is read out on the phone, so nobody looks for it under twelve lines."""
    shown = page(clerk, issue)
    assert shown.index('<span class="label">Total') < shown.index("<table")
