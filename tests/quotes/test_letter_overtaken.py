"""A letter that waited while mail was away does not go once nobody needs it; why is kept with it."""

from datetime import timedelta

import pytest
import time_machine
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from config.health import _oldest_mail
from quotes.desk.accepting import accept, ask_for_changes, let_stand, take_back
from quotes.desk.enquiries import remind
from quotes.desk.lapsing import remind_of_lapsing
from quotes.desk.posting import letter_state, send_again, send_letter, send_quote, sweep
from quotes.desk.shop import keep_shop
from quotes.desk.specials import close
from quotes.models import Letter
from tests.quotes import shop, specials
from tests.quotes.conftest import clerk_named

pytestmark = pytest.mark.django_db
TO = "mara@quill.example"


@pytest.fixture
def issue():
    shop.set_up()
    keep_shop({"name": "Tarnbrook"})
    return shop.issued_quote()


def left():
    """What a sweep leaves for good, each with why."""
    sweep()
    return [letter_state(letter) for letter in Letter.objects.exclude(dropped_at=None)]


def accepts(issue):
    names = [one["name"] for one in issue.document["openings"]]
    accept(issue.pk, name="Mara Quill", ticked=names)


def asks(issue):
    ask_for_changes(issue.pk, name="Mara", measures={}, words="which finish?", is_question=True)


@pytest.fixture
def reminded(issue):
    """The quote has gone, its reminder waits."""
    send_quote(issue.pk, TO, "ann")
    sweep()
    mail.outbox.clear()
    Letter.objects.update(created_at=timezone.now() - timedelta(days=20))
    assert remind_of_lapsing(issue.valid_until - timedelta(days=1)) == 1
    return issue


@pytest.mark.parametrize(
    ("what", "why", "others"),
    [
        (accepts, "not sent: Accepted by", 1),
        (asks, "not sent: what the customer asked waits for our answer", 0),
        (lambda issue: take_back(issue.pk, "ann", "a wrong price"), "not sent: We took it back", 1),
    ],
    ids=["accepted", "asked", "taken back"],
)
def test_reminder_of_who_has_answered(reminded, what, why, others):
    """No reminder of what is accepted, asked about or taken back; what tells of that goes."""
    what(reminded)
    (state,) = left()
    assert state.startswith(why)
    assert len(mail.outbox) == others


def test_reminder_that_came_too_late(reminded):
    """The mail was away until the quote had lapsed."""
    with time_machine.travel(timezone.now() + timedelta(days=40)):
        (state,) = left()
    assert state.startswith("not sent: It held until") and not mail.outbox


def test_reminder_that_still_holds(reminded):
    assert left() == [] and len(mail.outbox) == 1


def test_quote_that_was_accepted_meanwhile(issue):
    """A quote that is accepted is not brought to be accepted; the same sent on after its acceptance is."""
    send_quote(issue.pk, TO, "ann")
    accepts(issue)
    (state,) = left()
    assert state.startswith("not sent: Accepted by")
    send_quote(issue.pk, "builder@quill.example", "ann")
    assert len(left()) == 1
    assert ["builder@quill.example"] in [message.to for message in mail.outbox]


@pytest.fixture
def answered(issue):
    """The quote has gone, its customer has asked something; what the desk says to it is given by the test."""
    send_quote(issue.pk, TO, "ann")
    sweep()
    mail.outbox.clear()
    issue.refresh_from_db()
    return issue


def test_answer_after_an_acceptance(answered):
    """The desk's words to a question go, and do not ask to accept what is accepted; as sent it is kept."""
    asks(answered)
    ask_for_changes(answered.pk, name="Mara", measures={}, words="and when?", is_question=True)
    let_stand(answered.quote_id, "ann", "Slate, next week.")
    accepts(answered)
    assert left() == []
    (answer,) = [m for m in mail.outbox if "Slate, next week." in m.body]
    assert "which finish?" in answer.body and "and when?" in answer.body
    assert "Accepted by Mara Quill" in answer.body
    assert "stands as it was sent" not in answer.body and "You can accept it" not in answer.body
    assert "Accepted by Mara Quill" in Letter.objects.get(cause__startswith="answer").body


def test_answer_without_words_after_an_acceptance(answered):
    """It says nothing but that the quote stands, which is accepted: it does not go."""
    ask_for_changes(answered.pk, name="Mara", measures={}, words="it is 3/8 less")
    let_stand(answered.quote_id, "ann")
    accepts(answered)
    (state,) = left()
    assert state.startswith("not sent: Accepted by")
    assert not any("stands as it was sent" in message.body for message in mail.outbox)


def test_answer_that_still_holds(answered):
    asks(answered)
    let_stand(answered.quote_id, "ann", "Slate.")
    assert left() == []
    (answer,) = mail.outbox
    assert "Slate." in answer.body and "stands as it was sent" in answer.body


def test_factory_that_has_answered():
    """Neither reminded of what it has answered, nor asked what nobody wants to know any more."""
    specials.set_up()
    enquiry = specials.asked()
    sweep()
    assert remind(enquiry.pk, enquiry.due_on + timedelta(days=5))
    specials.take_answer(enquiry.pk, specials.usual_answer())
    other = specials.asked(caller="Ned")
    close(other.special_id, by="ann", why="they went elsewhere")
    nothing = "not sent: nothing of it waits for the factory's answer any more"
    assert left() == [nothing, nothing]


def test_what_was_left_waits_for_nobody(reminded, client):
    """It is no mail that waits; its page says why it did not go, and has no button to try again."""
    accepts(reminded)
    left()
    assert _oldest_mail() is None
    client.force_login(clerk_named("ann"))
    url = reverse("quote-issue", args=[reminded.quote_id, reminded.number])
    page = client.get(url).content.decode()
    assert "not sent: Accepted by" in page and "Try again" not in page


def test_tried_again_it_is_looked_at_anew(reminded):
    """Asked to send it all the same, the desk looks again whether it still holds."""
    asks(reminded)
    left()
    letter = Letter.objects.exclude(dropped_at=None).get()
    reminded.changes_asked.update(done_at=timezone.now())
    send_again(letter.pk)
    assert send_letter.call(letter.pk) and len(mail.outbox) == 1
