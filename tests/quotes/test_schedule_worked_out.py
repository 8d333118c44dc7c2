"""A long schedule is worked out slice by slice: by the worker, by the waiting page, or by one press."""

import datetime

import pytest
import time_machine
from django.core.management import call_command

from quotes.desk import schedules as desk
from quotes.models import ScheduleLine
from tests.quotes.sheets import GOOD, HEADINGS, grid

WAITING = ScheduleLine.Attention.WAITING
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def long_schedule(liner, monkeypatch):
    """Seven lines where at most three are worked out with the upload."""
    monkeypatch.setattr(desk, "AT_ONCE", 3)
    return desk.take_in(grid(HEADINGS, *[GOOD] * 7), "s.xlsx", liner, by="ann")


def waiting(schedule):
    return schedule.lines.filter(attention=WAITING).count()


def test_a_short_one_is_worked_out_with_the_upload(liner):
    """Up to AT_ONCE lines nothing waits."""
    schedule = desk.take_in(grid(HEADINGS, *[GOOD] * 7), "s.xlsx", liner, by="ann")
    assert waiting(schedule) == 0


def test_slices_until_nothing_waits(long_schedule):
    """Each call does its slice in the sender's order and says how many are left."""
    assert [desk.work_out(long_schedule.pk, 3) for _ in range(4)] == [4, 1, 0, 0]
    answers = set(long_schedule.lines.values_list("answer__outcome", "attention"))
    assert answers == {("part", ScheduleLine.Attention.PART)}


def test_the_worker_does_it_all(long_schedule):
    """The upload leaves a task behind; the worker works out every line."""
    assert waiting(long_schedule) == 7
    call_command("db_worker", batch=True, interval=0, verbosity=0)
    assert waiting(long_schedule) == 0


def test_the_page_shows_how_far_it_is(long_schedule, clerk):
    """While lines wait the page shows a progress bar, and a button where there is no JavaScript."""
    desk.work_out(long_schedule.pk, 2)
    page = clerk.get(f"/schedules/{long_schedule.pk}/").content.decode()
    assert '<progress max="7" value="2"' in page and "Work out the rest now" in page


def test_one_press_finishes_it(long_schedule, clerk):
    """Without worker and JavaScript the button works out all the rest."""
    address = f"/schedules/{long_schedule.pk}/progress/"
    assert clerk.post(address).headers["Location"] == f"/schedules/{long_schedule.pk}/"
    assert waiting(long_schedule) == 0


def test_the_waiting_page_helps_itself_when_no_worker_comes(long_schedule, clerk):
    """Asked too early the page leaves the work to the worker; later it takes it on."""
    address = f"/schedules/{long_schedule.pk}/progress/"
    assert "HX-Redirect" not in clerk.get(address, headers={"HX-Request": "true"})
    assert waiting(long_schedule) == 7
    with time_machine.travel(datetime.datetime.now(datetime.UTC) + datetime.timedelta(seconds=10)):
        done = clerk.get(address, headers={"HX-Request": "true"})
    assert done["HX-Redirect"] == f"/schedules/{long_schedule.pk}/"
    assert waiting(long_schedule) == 0
