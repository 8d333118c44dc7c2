"""A schedule brought in by mistake is taken away, unless something was made of it."""

import pytest

from quotes.desk.schedules import discard, make_request, take_in, work_out
from quotes.models import Schedule, ScheduleLine
from tests.quotes.sheets import HEADINGS, grid, with_cell


@pytest.fixture
def schedule(liner):
    rows = (with_cell("Quantity", 3), with_cell("Finish", "ash"))
    return take_in(grid(HEADINGS, *rows), "wrong <file>.xlsx", liner, by="ann")


def test_it_goes_with_its_lines(schedule, clerk):
    """One press on its page: the schedule and its lines are gone, and the page says so."""
    page = clerk.post(f"/schedules/{schedule.pk}/discard/", follow=True)
    assert "wrong &lt;file&gt;.xlsx is discarded." in page.content.decode()
    assert not Schedule.objects.exists() and not ScheduleLine.objects.exists()


def test_one_that_is_a_request_stays(schedule, clerk):
    """Once a request holds its lines it can't go, and the sentence says what can."""
    request = make_request(schedule.pk, by="ann")
    page = clerk.post(f"/schedules/{schedule.pk}/discard/", follow=True).content.decode()
    assert f"Request {request.pk} was made of this schedule, so it stays" in page
    assert "Discard this schedule" not in page
    assert schedule.lines.count() == 2


def test_a_worker_that_comes_later_finds_nothing_to_do(schedule):
    """Discarded while lines still waited: the worker ends quietly."""
    discard(schedule.pk)
    assert work_out(schedule.pk) == 0
