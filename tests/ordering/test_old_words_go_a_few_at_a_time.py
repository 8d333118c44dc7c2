"""However much is older than the shop keeps it, nobody who writes waits for all of it to go."""

import threading
from datetime import timedelta

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from quotes.desk import erasing
from quotes.models import Customer, Letter, Request
from tests.quotes.shop import part_opening, set_up, take_request

pytestmark = pytest.mark.django_db(transaction=True)


class Slow:
    """Takes away a few rows in a transaction, with somebody who writes after the first, and fails at the third."""

    def __init__(self) -> None:
        self.times, self.wrote = 0, []

    def __call__(self, due) -> int:
        self.times += 1
        if self.times == 2:
            assert self.wrote, "whoever writes waits for all of it"
        if self.times == 3:
            raise KeyboardInterrupt
        transaction.on_commit(self.meanwhile)
        return due.delete()[0]

    def meanwhile(self) -> None:
        writer = threading.Thread(target=self.write)
        writer.start()
        writer.join(3)

    def write(self) -> None:
        try:
            self.wrote.append(Customer.objects.create(name="Mara Quill").pk)
        finally:
            connection.close()


def letters() -> None:
    for number in range(6):
        Letter.objects.create(
            cause=f"letter {number}", to="ida@lorne.example", subject="Hello", body="Hello",
            by="ann", message_id=f"<{number}@x.example>", sent_at=timezone.now(),
        )  # fmt: skip


def test_somebody_writes_meanwhile():
    """And what had not gone when it was killed goes the next time."""
    letters()
    with pytest.raises(KeyboardInterrupt):
        erasing.by_batches(Letter.objects.all(), Slow(), 2)
    assert Letter.objects.count() == 2
    assert erasing.by_batches(Letter.objects.all(), lambda due: due.delete()[0], 2) == 2


def test_requests_and_mails_go_so(monkeypatch):
    """Where a transaction takes one of them, each has its own."""
    monkeypatch.setattr(erasing, "AT_ONCE", 1)
    set_up()
    letters()
    for name in ("Ida Lorne", "Una Fell", "Bea Lund"):
        take_request(part_opening(), caller=name, email="")
    with CaptureQueriesContext(connection) as asked:
        gone = erasing.forget_old(timezone.now() + timedelta(days=1))
    assert gone == {"requests": 3, "schedules": 0, "letters": 6}
    assert not Request.objects.exists() and not Letter.objects.exclude(body="").exists()
    said = [query["sql"] for query in asked]
    assert sum(sql.startswith('DELETE FROM "quotes_request"') for sql in said) == 3
    assert sum(sql.startswith('UPDATE "quotes_letter"') for sql in said) == 6
