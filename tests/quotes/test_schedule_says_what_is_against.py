"""A line of a schedule says what the counter would say: nothing is certain that one of its numbers speaks against."""

from io import BytesIO

import pytest
from openpyxl import load_workbook

from quotes.desk import schedules as desk
from quotes.lists.schedules import annotated, shown
from sizing.lengths import unbroken
from tests.quotes.sheets import GOOD, HEADINGS, grid, with_cell

pytestmark = pytest.mark.django_db
AGAINST = "This size does not explain: opening height 61 7/8 (47 7/8 here)"


@pytest.fixture
def schedule(liner):
    """A sound line, one of which a number is ten inches off, one that a usual slip explains."""
    rows = (GOOD, with_cell(HEADINGS[4], "61 7/8"), with_cell(HEADINGS[5], "48 1/8"))
    return desk.take_in(grid(HEADINGS, *rows), "s.xlsx", liner, by="ann")


def test_on_its_page(schedule, clerk):
    sound, off, slip = shown(schedule, schedule.lines.order_by("position"))
    assert (sound.sure, sound.against) == ("certain", "")
    assert off.words.startswith(AGAINST) and off.sure == "to be cleared first"
    assert slip.sure != off.sure and "usual slip" in slip.words and not slip.against
    page = clerk.get(f"/schedules/{schedule.pk}/").content.decode()
    assert page.count("to be cleared first") == 1 and unbroken(AGAINST) in page


def test_its_size_is_not_called_settled(liner):
    """What is still asked of such a line comes after the number that is to be measured again."""
    off = with_cell(HEADINGS[4], "61 7/8", with_cell(HEADINGS[6], ""))
    taken = desk.take_in(grid(HEADINGS, off), "s.xlsx", liner, by="ann")
    (line,) = shown(taken, taken.lines.all())
    assert line.words.startswith(AGAINST) and "settled" not in line.words
    assert line.words.endswith("Then ask which finish: ash, slate or chalk.")


def test_in_the_workbook_that_goes_back(schedule):
    """The certainty's cell is empty beside what speaks against the part."""
    sheet = load_workbook(BytesIO(annotated(schedule))).worksheets[0]
    (head,) = (row for row in sheet.iter_rows(values_only=True) if "Desk: certainty" in row)
    rows = list(sheet.iter_rows(min_row=2, values_only=True))[:3]
    sure, words = head.index("Desk: certainty"), head.index("Desk: question or reason")
    assert [row[sure] is None for row in rows] == [False, True, False]
    assert rows[1][words].startswith(AGAINST)
