"""A schedule becomes one request; lines mended later join it."""

from html import unescape

import pytest
from django.contrib.auth import get_user_model

from quotes.desk.quoting import begin_quotes
from quotes.desk.schedules import ScheduleError, Sender, correct_line, make_request, take_in
from quotes.models import Request, ScheduleLine
from tests.quotes.conftest import publish
from tests.quotes.sheets import HEADINGS, grid, with_cell

SENDER = Sender("Alder Court Works", "802 555 0160", "office@aldercourt.example")


@pytest.fixture
def schedule(liner):
    bad = with_cell("Upper glass height", "2-6")
    rows = (with_cell("Quantity", 3), bad, with_cell("Finish", "ash"))
    return take_in(grid(HEADINGS, *rows), "s.xlsx", liner, by="ann", sender=SENDER)


@pytest.fixture
def bad(schedule):
    return schedule.lines.get(attention=ScheduleLine.Attention.UNREADABLE)


def mend(line, **changed):
    left_out = changed.pop("left_out", False)
    return correct_line(line.pk, {**line.cells, **changed}, [], left_out=left_out, by="bea")


def test_readable_lines_are_its_openings(schedule):
    """Each readable line is an opening as typed, with its answer and part; the sender is the caller."""
    request = make_request(schedule.pk, by="ann")
    first, last = request.openings.all()
    assert (first.position, last.position) == (0, 2)
    assert (first.quantity, first.label, first.said["upper_glass"]) == (3, "Kitchen", "20 1/4")
    assert first.part.part_number == first.answer["part_number"]
    assert (request.caller, request.email) == (SENDER.caller, SENDER.email)


def test_asked_twice_there_is_one(schedule, clerk):
    """A second press finds the first request."""
    for _ in range(2):
        clerk.post(f"/schedules/{schedule.pk}/request/")
    assert Request.objects.count() == 1


def test_a_line_mended_later_joins_at_its_place(schedule, bad):
    """The mended line is an opening between its neighbours."""
    request = make_request(schedule.pk, by="ann")
    mend(bad, upper_glass="20 1/4")
    assert [o.position for o in request.openings.all()] == [0, 1, 2]


def test_a_line_changed_later_is_followed(schedule):
    """A new count or finish counts in the request too, and a newer version says so."""
    request = make_request(schedule.pk, by="ann")
    mend(schedule.lines.first(), quantity="5")
    request.refresh_from_db()
    assert (request.openings.first().quantity, request.version, request.changed_by) == (5, 2, "bea")


def test_a_line_left_out_later_leaves_the_request(schedule):
    """Its opening goes; the others keep their places."""
    request = make_request(schedule.pk, by="ann")
    mend(schedule.lines.first(), left_out=True)
    assert [o.position for o in request.openings.all()] == [2]


def test_what_stands_in_a_quote_cannot_be_left_out(schedule):
    """Nothing is half done: line, opening and quote stay as they were."""
    request = make_request(schedule.pk, by="ann")
    begin_quotes(request.pk, "ann")
    line = schedule.lines.first()
    with pytest.raises(ScheduleError, match="stands in a quote"):
        mend(line, left_out=True)
    line.refresh_from_db()
    assert line.attention == ScheduleLine.Attention.PART and request.openings.count() == 2


def test_nothing_readable_makes_no_request(liner):
    """A schedule of nothing but errors says to correct one first."""
    content = grid(HEADINGS, with_cell("Upper glass height", "2-6"))
    schedule = take_in(content, "s.xlsx", liner, by="ann")
    with pytest.raises(ScheduleError, match="No line can be read yet"):
        make_request(schedule.pk, by="ann")
    assert not Request.objects.exists()


def test_the_request_is_changed_on_its_schedule(schedule, clerk):
    """Opened among the requests it leads to the schedule, the one place where its lines are mended."""
    request = make_request(schedule.pk, by="ann")
    assert clerk.get(f"/requests/{request.pk}/").headers["Location"] == f"/schedules/{schedule.pk}/"


def test_its_quotes_stand_on_its_page(schedule, clerk):
    """Whoever opens the request comes to the schedule: from there to its quote, and how that stands."""
    request = make_request(schedule.pk, by="ann")
    (quote,) = begin_quotes(request.pk, "ann")
    page = clerk.get(f"/schedules/{schedule.pk}/").text
    assert f'href="/quotes/{quote.pk}/"' in page and "Draft" in page


def test_the_family_taken_last_stands_in_the_box(clerk, schedule):
    """Of three families the sender's workbook is mostly of the one that this clerk takes calls for."""
    publish("heron-balance")
    assert clerk.get("/schedules/").context["form"]["family"].value() == ""
    make_request(schedule.pk, by=get_user_model().objects.get().username)
    page = clerk.get("/schedules/")
    assert page.context["form"]["family"].value() == "otter-liner"
    assert '<option value="otter-liner" selected>' in page.text


def test_a_quote_says_which_lines_it_lacks(schedule, bad, clerk):
    """What can't be read is no opening, so its row is named on the draft, until it is mended or left out."""
    request = make_request(schedule.pk, by="ann")
    page = clerk.post(f"/requests/{request.pk}/quote/", follow=True)
    words = unescape(page.text)
    assert words.count(f"Row {bad.row} of {schedule.name} can't be read and is not in it") == 1
    assert "Not in this quote" in words
    mend(bad, left_out=True)
    assert "Not in this quote" not in clerk.get(page.redirect_chain[-1][0]).text
