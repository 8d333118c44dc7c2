"""Who got a quote by mail gets it confirmed in writing when it is accepted; an issue says what it replaces."""

import pytest

from quotes.desk.accepting import accept, ask_for_changes
from quotes.desk.posting import send_quote
from quotes.desk.quoting import issue_quote, next_issue
from quotes.lists.quotes import state_of, with_states
from quotes.models import Acceptance, Letter, Quote
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def issue():
    shop.load_liner()
    shop.load_prices()
    return shop.issued_quote(shop.part_opening())


def take(issue, **more):
    names = [sheet["name"] for sheet in issue.document["openings"]]
    return accept(issue.pk, name="Mara Quill", ticked=names, **more)


def test_the_letter_says_what_was_accepted(issue):
    """To the address that the quote went to, with the papers as they were accepted."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    take(issue)
    letter = Letter.objects.latest("pk")
    assert (letter.to, letter.issue, letter.with_papers) == ("mara@quill.example", issue, True)
    assert "is accepted" in letter.subject
    assert "Accepted by Mara Quill, by the link, on " in letter.body and "USD in all" in letter.body


def test_by_phone_it_is_confirmed_as_well(issue):
    send_quote(issue.pk, "mara@quill.example", "ann")
    take(issue, how=Acceptance.How.PHONE, taken_by="ann")
    assert "by phone" in Letter.objects.latest("pk").body


def test_who_got_nothing_by_mail_gets_nothing(issue):
    take(issue, how=Acceptance.How.COUNTER, taken_by="ann")
    assert not Letter.objects.exists()


def test_a_next_issue_says_what_it_replaces(issue):
    """And until it is issued nobody is told that the one sent back still holds."""
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="one more")
    draft = next_issue(issue.quote_id)
    words = f"Mara Quill asked for changes to issue {issue.number}"
    assert words in state_of(draft).sentence
    (listed,) = with_states(list(Quote.objects.select_related("acceptance")))
    assert words in listed.state.sentence
    second = issue_quote(draft.pk, "ann")
    letter = send_quote(second.pk, "mara@quill.example", "ann")
    assert "takes the place of issue 1" in letter.body
