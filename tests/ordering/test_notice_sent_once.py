"""A notice is sent once, tried again until it goes, and known by its Message-ID ever after."""

from datetime import timedelta

import pytest
import time_machine
from django.core import mail
from django.db import IntegrityError, transaction
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from ordering.models import Event, Notice, Order
from ordering.sending import POSTED, message_of, send_notice, sweep
from quotes import post
from tests.ordering.placed import accepted_quote, load_shop, placed_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def notice():
    load_shop()
    placed_order()
    return Notice.objects.get()


def test_one_event_one_notice(notice):
    """The database itself refuses a second notice of one kind for one event."""
    with pytest.raises(IntegrityError), transaction.atomic():
        Notice.objects.create(event=notice.event, kind=notice.kind, message_id="<other@x>")


def test_written_with_its_event_or_not_at_all(monkeypatch):
    """If the notice can't be written nothing of the order is: no event, no task, no half order."""
    load_shop()
    quote = accepted_quote()

    def broken(*args, **kwargs):
        raise RuntimeError

    monkeypatch.setattr("ordering.events.telling.as_html", broken)
    from ordering.events import place_from_quote
    from tests.ordering.placed import CLERK

    with pytest.raises(RuntimeError), transaction.atomic():
        place_from_quote(quote.pk, CLERK)
    assert not (Order.objects.exists() or Event.objects.exists() or DBTaskResult.objects.exists())


def test_sent_once_however_often_it_is_tried(notice):
    """Task and sweep may both come to it, again and again: one mail goes."""
    assert DBTaskResult.objects.count() == 1
    assert send_notice.call(notice.pk)
    assert not send_notice.call(notice.pk)
    assert sweep() == 0
    assert len(mail.outbox) == 1


def test_a_worker_that_died_leaves_it_to_the_next(notice):
    """A claim that came to nothing falls due again after its wait, under the same Message-ID."""
    Notice.objects.update(taken_at=timezone.now(), attempts=1)
    assert sweep() == 0
    with time_machine.travel(timezone.now() + post.wait_after(1) + timedelta(seconds=1)):
        assert sweep() == 1
    assert mail.outbox[0].message()["Message-ID"] == notice.message_id


def test_a_server_that_refuses_is_tried_again_later_and_later(notice, monkeypatch):
    """Each failure is kept in words and doubles the wait; the mail goes when the server is back."""
    real = mail.EmailMultiAlternatives.send

    def refuse(self, *args, **kwargs):
        raise ConnectionRefusedError("no server")

    monkeypatch.setattr(mail.EmailMultiAlternatives, "send", refuse)
    now = timezone.now()
    for attempts in (1, 2, 3):
        with time_machine.travel(now, tick=False):
            assert sweep() == 0
            notice.refresh_from_db()
            assert (notice.attempts, notice.last_error) == (
                attempts, "ConnectionRefusedError: no server",
            )  # fmt: skip
            assert not post.due(POSTED).exists()
        now += post.wait_after(attempts)
        with time_machine.travel(now, tick=False):
            assert post.due(POSTED).exists()
    monkeypatch.setattr(mail.EmailMultiAlternatives, "send", real)
    with time_machine.travel(now, tick=False):
        assert sweep() == 1
    notice.refresh_from_db()
    assert (notice.sent_at, notice.last_error) == (now, "")


def test_waits_double_and_end():
    """The wait doubles with each attempt and never passes the longest."""
    waits = [post.wait_after(n) for n in range(1, 12)]
    assert waits[1] == 2 * waits[0] and waits[2] == 4 * waits[0]
    assert max(waits) == waits[-1] == post.LONGEST_WAIT


def test_only_one_worker_gets_it(notice):
    """While one worker is at it another one's claim is refused."""
    seen = []

    def write(row):
        seen.append(post.send(POSTED, row.pk, message_of))
        return message_of(row)

    assert post.send(POSTED, notice.pk, write)
    assert seen == [False]
    assert len(mail.outbox) == 1
