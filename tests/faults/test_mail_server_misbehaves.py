"""Letters and notices against a mail server that refuses, dawdles and hangs up: all arrive, once each.

One window is SMTP's own: a line cut after the message was taken looks like one cut before. Then the
message is sent again under the same Message-ID, by which a receiver knows the second copy.
"""

import random
import socket
from collections import Counter
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.utils import timezone
from django.utils.crypto import get_random_string
from django_tasks_db.management.commands.db_worker import Worker

from ordering import sending
from ordering.models import Notice
from quotes.desk import posting
from quotes.models import Letter
from tests.faults.bad_mail_server import FAULTS, BadServer
from tests.ordering.placed import load_shop, placed_order
from tests.quotes.shop import issued_quote

SEED, PATIENCE = 20_311_107, 0.4
NOTICES, LETTERS, MOST_FAULTS = 12, 8, 4


def work() -> None:
    """One round of the worker: what is queued and due, then what was left over."""
    Worker(
        queue_names=["*"], interval=0, batch=True, backend_name="default", startup_delay=False,
        max_tasks=None, worker_id=get_random_string(32), excluded_queue_names=[],
    ).run()  # fmt: skip
    posting.sweep()
    sending.sweep()


@pytest.fixture
def mail(settings):
    """The desk's own way to an SMTP server; tests say on which port it is."""
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_TIMEOUT = "127.0.0.1", PATIENCE
    return settings


@pytest.fixture
def away(mail):
    """Nobody listens on the mail server's port; the clock by which the desk waits for it."""
    with socket.socket() as taken, time_machine.travel(datetime.now(UTC), tick=True) as clock:
        taken.bind(("127.0.0.1", 0))
        mail.EMAIL_PORT = taken.getsockname()[1]
        yield clock


@contextmanager
def listening(mail, faults=None):
    """A mail server, on the port where the desk looks for it."""
    server = BadServer(faults or {}, PATIENCE)
    mail.EMAIL_PORT = server.start()
    try:
        yield server
    finally:
        server.stop()


def to_get_mail(notices: int, letters: int) -> list[str]:
    """Everybody who is to get exactly one mail: of a placed order, or with a quote."""
    load_shop()
    for at in range(notices):
        placed_order(caller=f"Mara Quill {at}", email=f"order{at}@quill.example")
    issue = issued_quote(caller="Ida Lorne", email="ida@lorne.example")
    for at in range(letters):
        posting.send_quote(issue.pk, f"quote{at}@lorne.example", "ann")
    return [row.to for row in (*Notice.objects.all(), *Letter.objects.all())]


@pytest.fixture
def receivers(transactional_db):
    return to_get_mail(NOTICES, LETTERS)


@pytest.fixture
def few(transactional_db):
    """What one of them waits for, each of them does: of either kind there is more than one."""
    return to_get_mail(2, 2)


def test_all_arrive_once(mail, receivers):
    """Up to four faults of seven kinds at each message: 0 lost, 0 doubled, each under its one id."""
    draw = random.Random(SEED)
    plan = {to: draw.choices(list(FAULTS), k=draw.randint(0, MOST_FAULTS)) for to in receivers}
    planned = Counter(fault for faults in plan.values() for fault in faults)
    copies = {to: 1 + sum(FAULTS[fault] for fault in faults) for to, faults in plan.items()}
    to_do = {to: list(faults) for to, faults in plan.items()}
    with (
        listening(mail, to_do) as server,
        time_machine.travel(datetime.now(UTC), tick=True) as clock,
    ):
        for _ in range(MOST_FAULTS + 2):
            work()
            clock.shift(timedelta(hours=7))
    rows = {row.to: row for row in (*Notice.objects.all(), *Letter.objects.all())}
    lost = [to for to in receivers if not server.box[to] or rows[to].sent_at is None]
    ids = {to: {message["Message-ID"] for message in server.box[to]} for to in receivers}
    doubled = [to for to in receivers if len(server.box[to]) != copies[to] or len(ids[to]) != 1]
    again = sum(copies.values()) - len(copies)
    print(
        f"{len(receivers)} mails, {sum(planned.values())} faults: {len(lost)} lost, {len(doubled)} doubled; "
        f"{again} second copies under the same Message-ID"
    )
    assert Counter(server.done) == planned
    assert set(planned) == set(FAULTS)
    assert (lost, doubled) == ([], [])
    assert {to: {rows[to].message_id} for to in receivers} == ids


def test_server_away(mail, few, away):
    """Nobody listens on the port: everything waits with its reason, and goes once the server is back."""
    for _ in range(3):
        work()
        away.shift(timedelta(hours=7))
    waiting = [*Notice.objects.all(), *Letter.objects.all()]
    assert all(row.sent_at is None and "refused" in row.last_error.lower() for row in waiting)
    with listening(mail) as server:
        work()
    assert {to: len(server.box[to]) for to in few} == dict.fromkeys(few, 1)


def test_soon_after_a_long_outage(mail, few, away):
    """Three days without a server; half an hour after it is back all has gone, and none was tried without need."""
    for _ in range(72):
        work()
        away.shift(timedelta(hours=1))
    (before,) = Letter.objects.order_by("pk").values_list("attempts", flat=True)[:1]
    posting.sweep()
    tried = Letter.objects.filter(taken_at__gt=timezone.now() - timedelta(minutes=1))
    assert before > 10 and tried.count() == 1
    with listening(mail) as server:
        for _ in range(2):
            away.shift(timedelta(minutes=15))
            work()
    assert {to: len(server.box[to]) for to in few} == dict.fromkeys(few, 1)
