"""A quote's letter: one cause, one letter, through every failure."""

import datetime
import smtplib

import pytest
import time_machine
from django.core import mail
from django.core.management import call_command
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from quotes.desk.posting import MOST_ATTEMPTS, letter_state, send_again, send_letter, send_quote
from quotes.desk.quoting import QuoteError
from quotes.links import address_of
from quotes.models import Letter
from tests.quotes import shop

# The worker opens connections of its own, so it sees only what was committed.
pytestmark = pytest.mark.django_db(transaction=True)
TO = "mara@quill.example"


@pytest.fixture
def issue():
    shop.load_liner()
    shop.load_prices()
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


def test_a_letter_taken_by_one_worker_is_left_by_another(issue):
    """While one worker is at it a second one does nothing."""
    letter = send_quote(issue.pk, TO, "ann")
    Letter.objects.update(taken_at=timezone.now())
    send_letter.func(letter.pk)
    assert not mail.outbox


def test_a_failure_is_kept_and_tried_later(issue, broken_mail):
    """Mail down: the reason is shown, a later try is queued, and that one sends the same message."""
    letter = send_quote(issue.pk, TO, "ann")
    work()
    letter.refresh_from_db()
    assert letter_state(letter) == ("to be tried again: SMTPServerDisconnected: mail is down")
    assert DBTaskResult.objects.filter(run_after__gt=timezone.now()).exists()
    broken_mail.undo()
    with time_machine.travel(timezone.now() + datetime.timedelta(minutes=2)):
        work()
    assert [sent.extra_headers["Message-ID"] for sent in mail.outbox] == [letter.message_id]


def test_it_gives_up_in_the_end_and_can_be_tried_again(issue, broken_mail):
    """After the last attempt the page says so, and a press on "try again" sends it."""
    letter = send_quote(issue.pk, TO, "ann")
    for _ in range(MOST_ATTEMPTS):
        send_letter.func(letter.pk)
    letter.refresh_from_db()
    assert letter_state(letter).startswith("given up: ")
    broken_mail.undo()
    send_again(letter.pk)
    work()
    assert len(mail.outbox) == 1


def test_a_worker_that_broke_off_is_not_hidden(issue):
    """A letter whose worker is gone may have been sent or not: the page says exactly that."""
    letter = send_quote(issue.pk, TO, "ann")
    letter.taken_at = timezone.now() - datetime.timedelta(hours=1)
    assert letter_state(letter) == "not known: the sending broke off"


def test_a_draft_is_not_sent():
    """A draft has no link to send."""
    shop.load_liner()
    with pytest.raises(QuoteError, match="issue it first"):
        send_quote(shop.draft_quote().pk, TO, "ann")
