"""manage.py work sends what is due, watches the orders once a day, and outlives one order's trouble."""

import signal
from datetime import timedelta

import pytest
import time_machine
from django.core import mail
from django.core.management import call_command
from django.db.utils import OperationalError
from django.utils import timezone

from ordering.events import watching
from ordering.expected import forget
from ordering.management.commands.work import Command
from ordering.models import Notice
from sizing.models import PublishedWindow
from tests.ordering.placed import load_shop, placed_order, sent_order

# The worker opens connections of its own, so it sees only what was committed.
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def shop():
    load_shop()


def work():
    call_command("work", once=True, verbosity=0)


def test_everything_due_goes():
    """One round sends the customer's and the factory's mail, and a second round sends nothing more."""
    sent_order()
    work()
    assert [message.to for message in mail.outbox] == [
        ["mara@quill.example"], ["orders@otterhollow.example"],
    ]  # fmt: skip
    work()
    assert len(mail.outbox) == 2


def test_windows_are_published_once_a_day():
    """The first round of a day publishes the windows that the counter shows; the next one need not."""
    work()
    first = set(PublishedWindow.objects.values_list("published_at", flat=True))
    assert len(first) == 1
    work()
    assert set(PublishedWindow.objects.values_list("published_at", flat=True)) == first


def test_a_morning_broken_off_is_gone_through_again(monkeypatch):
    """What the database left undone of a day's first round, as it was away, the next round does."""
    judged = []

    def judge(day):
        judged.append(day)
        if len(judged) == 1:
            raise OperationalError("the connection is closed")

    monkeypatch.setattr("ordering.management.commands.work.judge_all", judge)
    worker = Command()
    for _ in range(3):
        call_command(worker, once=True, verbosity=0)
    assert len(judged) == 2


def test_one_order_in_trouble(monkeypatch):
    """An order that cannot be looked at does not keep the next one's customer waiting."""
    bad, good = placed_order(), placed_order()
    real = watching.watch

    def watch(pk):
        if pk == bad.pk:
            raise RuntimeError
        return real(pk)

    monkeypatch.setattr(watching, "watch", watch)
    forget()
    with time_machine.travel(timezone.now() + timedelta(90)):
        work()
    assert (
        Notice.objects.filter(kind="delayed").values_list("event__order", flat=True).get()
        == good.pk
    )


def test_a_fault_in_the_days_work_keeps_no_mail(monkeypatch, caplog):
    """A factory that cannot be reckoned with is told in the log and left alone for a minute; letters go on."""
    tried = []

    def publish():
        tried.append(1)
        raise ValueError("no calendar of this place")

    monkeypatch.setattr("ordering.management.commands.work.publish_windows", publish)
    worker = Command()
    for _ in range(2):
        sent_order()
        worker._round(once=False)
    assert (len(tried), len(mail.outbox)) == (1, 4)
    assert "a round of the day's work failed" in caplog.text
    monkeypatch.setattr("ordering.management.commands.work.FAILED_SECONDS", 0.0)
    worker._round(once=False)
    assert len(tried) == 2


def test_a_fault_is_told_to_whoever_works_once(monkeypatch):
    """By hand or in a test nobody reads the log."""

    def publish():
        raise ValueError("no calendar of this place")

    monkeypatch.setattr("ordering.management.commands.work.publish_windows", publish)
    with pytest.raises(ValueError, match="no calendar"):
        work()


def test_signals_are_given_back():
    """After its last round the process listens to the keyboard as before."""
    before = signal.getsignal(signal.SIGINT)
    work()
    assert signal.getsignal(signal.SIGINT) is before
