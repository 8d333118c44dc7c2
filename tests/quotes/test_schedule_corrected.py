"""A line is mended in its place: only that line is answered anew, with and without JavaScript."""

import re
from html import unescape

import pytest

from quotes.desk import schedules as desk
from quotes.models import ScheduleLine
from tests.quotes.sheets import GOOD, HEADINGS, grid, with_cell

Attention = ScheduleLine.Attention


@pytest.fixture
def schedule(liner):
    """A good line and one that can't be read."""
    bad = with_cell("Upper glass height", "2-6", with_cell("Window", "Attic"))
    return desk.take_in(grid(HEADINGS, GOOD, bad), "s.xlsx", liner, by="ann")


@pytest.fixture
def bad(schedule):
    return schedule.lines.get(attention=Attention.UNREADABLE)


def typed(line, **changed):
    return {f"cell-{code}": text for code, text in {**line.cells, **changed}.items()}


def address(line):
    return f"/schedules/{line.schedule_id}/line/{line.pk}/"


def test_mended_it_is_a_part(bad, clerk):
    """The corrected cell is taken and the line answered; without JavaScript the page comes back."""
    response = clerk.post(address(bad), typed(bad, upper_glass="20 1/4"))
    assert response.headers["Location"] == f"/schedules/{bad.schedule_id}/#line-{bad.pk}"
    bad.refresh_from_db()
    assert (bad.answer["outcome"], bad.problems, bad.changed_by) == ("part", {}, "mira")
    assert bad.was == {"upper_glass": "2-6"}


def test_only_that_line_is_resolved(bad, clerk, monkeypatch):
    """One line goes to the resolver, however many the schedule has."""
    seen = []
    answer = desk.answer_openings
    monkeypatch.setattr(
        desk, "answer_openings", lambda said, rev: seen.append(len(said)) or answer(said, rev)
    )
    clerk.post(address(bad), typed(bad, upper_glass="20 1/4"))
    assert seen == [1]


def test_live_the_row_comes_back(bad, clerk):
    """With htmx the answer is the row itself, ready to be set in its place."""
    row = clerk.post(address(bad), typed(bad, upper_glass="20 1/4"), headers={"HX-Request": "true"})
    assert row.content.decode().startswith(f'<tr id="line-{bad.pk}"')
    assert "2-6" in row.content.decode()


def test_each_measure_has_its_column(schedule, bad, clerk):
    """What was typed stands under its measure; what nobody can measure says so."""
    clerk.post(address(bad), typed(bad, opening="") | {"cannot-opening": "on"})
    page = unescape(clerk.get(f"/schedules/{schedule.pk}/").content.decode())
    heads = re.findall(r'<th scope="col"[^>]*>([^<]*)</th>', page)
    first = heads.index("Upper glass height")
    assert heads[first : first + 6] == [*HEADINGS[2:]]
    row = page.partition(f'<tr id="line-{bad.pk}"')[2].partition("</tr>")[0]
    cells = dict(re.findall(r'<td class="typed" data-name="([^"]*)">([^<]*)</td>', row))
    # A whole number and its fraction are held together.
    cells = {heading: text.replace("\u00a0", " ") for heading, text in cells.items()}
    assert cells == dict(
        [*zip(HEADINGS, with_cell("Upper glass height", "2-6"), strict=True)][2:]
    ) | {"Opening height": "can't"}
    form = clerk.get(f"{address(bad)}?edit", headers={"HX-Request": "true"}).content.decode()
    assert f'colspan="{len(heads) + 1}"' in form


@pytest.mark.parametrize("live", [True, False])
def test_still_wrong_nothing_typed_is_lost(bad, clerk, live):
    """A cell that still can't be read comes back as typed, beside what is wrong with it."""
    headers = {"HX-Request": "true"} if live else {}
    page = clerk.post(address(bad), typed(bad, upper_glass="3-9"), headers=headers, follow=not live)
    if not live:
        page = clerk.get(address(bad) + "?edit")
    assert (
        'value="3-9"' in page.content.decode() and "type the one you mean" in page.content.decode()
    )


def test_typed_back_it_counts_as_never_changed(bad, clerk):
    """The sender's own text typed again leaves no trace of a correction."""
    clerk.post(address(bad), typed(bad, upper_glass="20 1/4"))
    clerk.post(address(bad), typed(bad, upper_glass="2-6"))
    bad.refresh_from_db()
    assert bad.was == {} and bad.attention == Attention.UNREADABLE


def test_left_out(bad, clerk):
    """A line left out stays on the schedule, last of all, and can come back."""
    clerk.post(address(bad), {**typed(bad), "left-out": "on"})
    bad.refresh_from_db()
    assert bad.attention == Attention.LEFT_OUT
    clerk.post(address(bad), typed(bad, upper_glass="20 1/4"))
    bad.refresh_from_db()
    assert bad.attention == Attention.PART


def test_what_needs_a_look_comes_first(schedule, clerk):
    """The unreadable line stands above the part that came before it."""
    page = unescape(clerk.get(f"/schedules/{schedule.pk}/").content.decode())
    assert page.index("Attic") < page.index("Kitchen")
