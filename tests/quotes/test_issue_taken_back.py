"""The desk takes an issue back in which something is wrong, before a customer accepts it."""

import pytest
from django.urls import reverse

from quotes.desk.accepting import NotOpenError, accept, let_stand, take_back
from quotes.desk.drafts import next_issue
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote
from quotes.links import token_of
from quotes.lists.issue_states import state_of, with_states
from quotes.lists.quotes import find_quotes, narrowed
from quotes.models import Acceptance, Issue, Letter
from tests.quotes import shop
from tests.quotes.conftest import clerk_named

pytestmark = pytest.mark.django_db
WHY = "We had typed the freight of another quote."


@pytest.fixture
def issue():
    shop.set_up()
    return shop.issued_quote()


def pressed(client, issue, why=WHY):
    client.force_login(clerk_named("mira"))
    return client.post(reverse("quote-take-back", args=[issue.pk]), {"why": why}, follow=True)


def page_of(client, issue):
    return client.get(reverse("quote-public", args=[token_of(issue.link.nonce)])).text


def test_nobody_can_accept_it_any_more(issue, client):
    """The customer's page says so and why, has no button, and refuses who still has the old page open."""
    assert pressed(client, issue).status_code == 200
    page = page_of(client, issue)
    assert "We took it back on" in page and "Why we took it back" in page and WHY in page
    assert "Accept this quote" not in page
    client.post(
        reverse("quote-accept", args=[token_of(issue.link.nonce)]), {"name": "M", "tick-0": "yes"}
    )
    assert not Acceptance.objects.exists()
    with pytest.raises(NotOpenError):
        take_back(issue.pk, "mira", WHY)


def test_who_got_it_by_mail_is_written_to_once(issue):
    """One letter with the reason; without a mail there is nobody to write to."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    take_back(issue.pk, "mira", WHY)
    letter = Letter.objects.latest("pk")
    assert letter.subject == f"Quote {issue.quote.number}, issue 1: please do not accept it"
    assert WHY in letter.body and Letter.objects.count() == 2


def test_the_next_issue_takes_its_place(issue, client):
    """It is open, and the one taken back is replaced; on the desk's pages its draft says what it follows."""
    pressed(client, issue)
    draft = next_issue(issue.quote_id)
    assert "issue 1 was taken back on" in state_of(draft).sentence
    issue_quote(draft.pk, "mira")
    assert state_of(Issue.objects.get(pk=draft.pk)).word == "open"
    assert state_of(Issue.objects.get(pk=issue.pk)).word == "replaced"


def test_it_can_be_given_back(issue):
    """Taken back by mistake it stands again, and the customer is not told that they had written."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    take_back(issue.pk, "mira", WHY)
    let_stand(issue.quote_id, "mira", "It was right after all.")
    assert state_of(Issue.objects.get(pk=issue.pk)).can_be_accepted
    body = Letter.objects.latest("pk").body
    assert "It was right after all." in body and "you wrote" not in body


def test_the_desk_finds_it_again(issue, client):
    """It waits on the first page under the name of who took it back, and in the list among those at the desk."""
    pressed(client, issue)
    home = client.get(reverse("home")).text
    assert "taken back by mira" in home
    said = {
        "customer": None,
        "by": "",
        "stands": "back at the desk",
        "family": "",
        "since": None,
        "until": None,
    }
    (quote,) = with_states(list(narrowed(find_quotes().every(), said)))
    assert "We took it back" in quote.state.sentence
    assert "Taken back by" in client.get(reverse("quote", args=[quote.pk])).text


def test_a_reason_is_asked_for(issue, client):
    """The customer reads why: nothing is taken back without it."""
    answer = pressed(client, issue, "  ")
    assert answer.status_code == 422 and "Say what is wrong" in answer.text
    assert state_of(issue).can_be_accepted


def test_what_is_accepted_stays_accepted(issue):
    """A customer who was quicker has their word."""
    names = [sheet["name"] for sheet in issue.document["openings"]]
    accept(issue.pk, name="Mara", ticked=names)
    with pytest.raises(NotOpenError, match="Accepted by Mara"):
        take_back(issue.pk, "mira", WHY)
