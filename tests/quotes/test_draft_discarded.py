"""A draft begun by mistake is taken away, and nothing that was issued with it."""

import pytest
from django.urls import reverse

from quotes.desk.drafts import QuoteError, discard_draft, next_issue
from quotes.lists.issue_states import state_of
from quotes.models import Issue, Opening, Quote, QuoteLine, Request
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def issued():
    shop.load_liner()
    return shop.issued_quote()


def test_next_issue(issued):
    """The issue before it is as it was, to the letter, and can be accepted again."""
    before = Issue.objects.values().get(pk=issued.pk)
    lines = list(QuoteLine.objects.filter(issue=issued).values())
    discard_draft(next_issue(issued.quote_id).pk)
    assert Issue.objects.values().get() == before
    assert list(QuoteLine.objects.values()) == lines
    assert state_of(Issue.objects.get()).can_be_accepted


def test_next_number_is_free_again(issued):
    """The number was never given out, so the next draft has it."""
    discard_draft(next_issue(issued.quote_id).pk)
    assert next_issue(issued.quote_id).number == 2


def test_first_draft(db):
    """A quote that was never issued goes with its draft; the request and its openings stay."""
    shop.load_liner()
    draft = shop.draft_quote()
    assert discard_draft(draft.pk) is None
    assert not Quote.objects.exists()
    assert Request.objects.count() == 1 and Opening.objects.count() == 1


def test_issued_one_is_refused(issued):
    """What a customer may hold in hands is never discarded."""
    with pytest.raises(QuoteError, match="frozen"):
        discard_draft(issued.pk)


def test_by_the_button(issued, clerk):
    """The button does it whatever is typed in the draft, and leads back to the issue that stands."""
    draft = next_issue(issued.quote_id)
    page = clerk.get(reverse("quote", args=[issued.quote_id]))
    assert "Discard this draft" in page.text
    typed = {"do": "discard", "valid_days": "some"}
    page = clerk.post(reverse("quote-draft", args=[draft.pk]), typed, follow=True)
    assert page.redirect_chain == [(reverse("quote", args=[issued.quote_id]), 302)]
    assert not Issue.objects.filter(pk=draft.pk).exists()
