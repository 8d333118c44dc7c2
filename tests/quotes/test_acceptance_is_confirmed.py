"""Who got a quote by mail gets it confirmed in writing when it is accepted; an issue says what it replaces."""

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from quotes.days import long_date
from quotes.desk.accepting import accept, ask_for_changes, let_stand
from quotes.desk.drafts import next_issue
from quotes.desk.issuing import issue_quote
from quotes.desk.posting import send_quote
from quotes.lists.issue_states import state_of, with_states
from quotes.models import Acceptance, Issue, Letter, Quote
from quotes.post import LINK
from tests.quotes import shop
from tests.quotes.conftest import clerk_named

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()
    return shop.issued_quote(shop.part_opening())


@pytest.fixture
def issue(built):
    return built


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


def test_a_question_is_answered_by_mail(issue, client):
    """The quote stands again, and who asked reads the desk's words and that they can accept it."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="Are the springs with it?")
    client.force_login(clerk_named("ann"))
    page = client.get(reverse("quote", args=[issue.quote_id])).content.decode()
    assert "Are the springs with it?" in page and "it goes by mail" in page
    address = reverse("quote-settle", args=[issue.quote_id])
    client.post(address, {"answer": "Yes.\r\nTwo to a window."})
    letter = Letter.objects.latest("pk")
    assert letter.to == "mara@quill.example" and "question is answered" in letter.subject
    assert "Yes.\nTwo to a window." in letter.body and "holds until" in letter.body
    assert state_of(issue).can_be_accepted
    # Pressed again there is nothing left to answer.
    client.post(address, {"answer": "Yes."})
    assert Letter.objects.latest("pk") == letter


def test_who_got_no_mail_is_told_by_phone(issue, client):
    """Of an issue that never went out by mail the answer stands on its page, and no mail is claimed."""
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="Are the springs with it?")
    client.force_login(clerk_named("ann"))
    page = client.get(reverse("quote", args=[issue.quote_id])).content.decode()
    assert "tell them by phone, too" in page and "goes by mail" not in page
    client.post(reverse("quote-settle", args=[issue.quote_id]), {"answer": "Yes, two."})
    assert state_of(issue).can_be_accepted and not Letter.objects.exists()


@pytest.fixture
def lapsed(issue):
    """Asked about while it held, and over before anybody answered."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="Are the springs with it?")
    with time_machine.travel(timezone.now() + timedelta(days=60)):
        yield issue


def test_a_question_about_an_issue_that_lapsed_is_answered_too(lapsed, client):
    """The answer goes with what is true now: it can't be accepted any more, and a new one comes on request."""
    client.force_login(clerk_named("ann"))
    page = client.get(reverse("quote", args=[lapsed.quote_id])).content.decode()
    assert "let the issue stand" not in page and "can no longer be accepted" in page
    address = reverse("quote-settle", args=[lapsed.quote_id])
    page = client.post(address, {"answer": "Yes."}, follow=True).content.decode()
    assert "has lapsed meanwhile" in page and "stands and can be accepted" not in page
    letter = Letter.objects.latest("pk")
    assert letter.to == "mara@quill.example" and "question is answered" in letter.subject
    until = long_date(lapsed.valid_until)
    assert f"Yes.\n\nThe quote held until {until} and can no longer be accepted.\n" in letter.body
    assert "tell us and we send it" in letter.body
    assert "holds until" not in letter.body and LINK not in letter.body


def test_a_lapsed_issue_let_go_without_a_word_claims_no_answer(lapsed):
    let_stand(lapsed.quote_id, "ann")
    letter = Letter.objects.latest("pk")
    assert "answered" not in letter.subject and "can no longer be accepted" in letter.body


def test_whose_lapsed_issue_never_went_by_mail_gets_nothing(issue):
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="Are the springs with it?")
    Issue.objects.update(valid_until=timezone.localdate() - timedelta(1))
    let_stand(issue.quote_id, "ann", "Yes.")
    assert not Letter.objects.exists()


def test_a_copy_is_of_that_letter(issue, clerk):
    """Who asks for the confirmation again is not asked to accept again; the page says which letter is which."""
    send_quote(issue.pk, "mara@quill.example", "ann")
    take(issue)
    confirmed = Letter.objects.latest("pk")
    Letter.objects.update(sent_at=timezone.now())
    for _ in range(2):
        page = clerk.post(reverse("letter-again", args=[confirmed.pk]), follow=True).text
    copy = Letter.objects.latest("pk")
    assert Letter.objects.count() == 3
    assert (copy.subject, copy.body, copy.to) == (confirmed.subject, confirmed.body, confirmed.to)
    assert copy.with_papers and page.count(f"{confirmed.subject}</bdi>, to mara@quill.example") == 2
