"""A quote's letter: one cause, one letter, through every failure."""

import datetime
import smtplib

import pytest
import time_machine
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.core.management import call_command
from django.db import OperationalError, connection
from django.urls import reverse
from django.utils import timezone

from quotes.desk.drafts import QuoteError
from quotes.desk.posting import letter_state, send_again, send_letter, send_quote, sweep
from quotes.links import address_of
from quotes.models import Letter
from quotes.post import wait_after
from tests.quotes import shop
from tests.quotes.conftest import clerk_named

# The worker opens connections of its own, so it sees only what was committed.
pytestmark = pytest.mark.django_db(transaction=True)
TO = "mara@quill.example"


@pytest.fixture
def issue():
    shop.set_up()
    return shop.issued_quote()


@pytest.fixture
def broken_mail(monkeypatch):
    """A mail server that refuses until it is repaired."""

    def refuse(self, messages):
        raise smtplib.SMTPServerDisconnected("mail is down")

    monkeypatch.setattr("django.core.mail.backends.locmem.EmailBackend.send_messages", refuse)
    return monkeypatch


def work():
    call_command("db_worker", batch=True, interval=0, verbosity=0)


def test_the_worker_sends_it_with_link_and_papers(issue):
    """The letter holds the link and brings the PDF and the workbook."""
    send_quote(issue.pk, TO, "ann")
    assert not mail.outbox
    work()
    (sent,) = mail.outbox
    assert address_of(issue) in sent.body
    assert [name for name, _, _ in sent.attachments] == [
        f"quote-{issue.quote.number}-1.{ending}" for ending in ("pdf", "xlsx")
    ]
    assert letter_state(Letter.objects.get()).startswith("sent ")


def test_pressed_twice_is_sent_once(issue):
    """The same issue to the same address is one letter."""
    send_quote(issue.pk, TO, "ann")
    send_quote(issue.pk, TO.upper(), "ben")
    work()
    assert len(mail.outbox) == 1


def test_a_letter_sent_is_not_sent_again(issue):
    """A task that runs twice, or "try again" on a sent letter, sends nothing more."""
    letter = send_quote(issue.pk, TO, "ann")
    work()
    send_letter.func(letter.pk)
    send_again(letter.pk)
    work()
    assert len(mail.outbox) == 1


def test_a_letter_that_never_arrived_is_sent_as_a_copy(issue, client):
    """Pressed on a letter that went: one more goes to the same address, twice pressed still one."""
    client.force_login(clerk_named("mira"))
    letter = send_quote(issue.pk, TO, "ann")
    send_letter.func(letter.pk)
    for _ in range(2):
        client.post(reverse("letter-again", args=[letter.pk]))
    copy = Letter.objects.exclude(pk=letter.pk).get()
    assert (copy.to, copy.subject, copy.message_id != letter.message_id) == (
        TO, letter.subject, True,
    )  # fmt: skip
    page = client.get(reverse("quote", args=[issue.quote_id])).content.decode()
    assert page.count("Send a copy") == 1 and "waiting to be sent" in page


def test_a_letter_taken_by_one_worker_is_left_by_another(issue):
    """While one worker is at it a second one does nothing."""
    letter = send_quote(issue.pk, TO, "ann")
    Letter.objects.update(taken_at=timezone.now(), attempts=1)
    send_letter.func(letter.pk)
    assert not mail.outbox


def test_a_failure_is_kept_and_tried_later(issue, broken_mail):
    """Mail down: the reason is shown, and after its wait the same message is sent."""
    letter = send_quote(issue.pk, TO, "ann")
    work()
    letter.refresh_from_db()
    assert letter_state(letter) == ("to be tried again: SMTPServerDisconnected: mail is down")
    broken_mail.undo()
    assert sweep() == 0
    with time_machine.travel(timezone.now() + wait_after(1) + datetime.timedelta(seconds=1)):
        assert sweep() == 1
    assert [sent.extra_headers["Message-ID"] for sent in mail.outbox] == [letter.message_id]


def test_tried_again_at_once_when_asked(issue, broken_mail):
    """A press on "try again" does not wait for its turn."""
    letter = send_quote(issue.pk, TO, "ann")
    work()
    broken_mail.undo()
    send_again(letter.pk)
    work()
    assert len(mail.outbox) == 1


def test_tried_again_while_it_is_being_sent(issue, monkeypatch):
    """Whoever presses while a worker is at it, after a failure or for the first time, sends no second one."""
    letter, deliver = send_quote(issue.pk, TO, "ann"), EmailBackend.send_messages
    Letter.objects.update(attempts=1, last_error="SMTPServerDisconnected: mail is down")

    def meanwhile(backend, messages):
        monkeypatch.undo()
        send_again(letter.pk)
        work()
        return deliver(backend, messages)

    monkeypatch.setattr(EmailBackend, "send_messages", meanwhile)
    assert send_letter.func(letter.pk)
    assert len(mail.outbox) == 1


def test_that_it_went_is_noted_once_the_database_is_free(issue, monkeypatch):
    """Another held the database at the moment after a mail had gone: the mail does not go a second time."""
    letter = send_quote(issue.pk, TO, "ann")
    waited, refused = [], []
    monkeypatch.setattr("quotes.post.time.sleep", waited.append)

    def held(execute, sql, params, many, context):
        if mail.outbox and len(refused) < 2 and sql.startswith('UPDATE "quotes_letter"'):
            refused.append(sql)
            raise OperationalError("database is locked")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(held):
        assert send_letter.func(letter.pk)
    assert len(waited) == len(refused) == 2
    with time_machine.travel(timezone.now() + datetime.timedelta(days=1)):
        assert sweep() == 0
    assert len(mail.outbox) == 1


def test_a_letter_whose_worker_died_is_sent_by_the_next(issue):
    """A claim that came to nothing is shown as such, and the letter goes under the same Message-ID."""
    letter = send_quote(issue.pk, TO, "ann")
    before = timezone.now() - wait_after(1) - datetime.timedelta(seconds=1)
    Letter.objects.update(taken_at=before, attempts=1)
    letter.refresh_from_db()
    assert letter_state(letter) == "to be tried again: the sending broke off"
    assert sweep() == 1
    assert mail.outbox[0].extra_headers["Message-ID"] == letter.message_id


def test_a_draft_is_not_sent():
    """A draft has no link to send."""
    shop.load_liner()
    with pytest.raises(QuoteError, match="issue it first"):
        send_quote(shop.draft_quote().pk, TO, "ann")
