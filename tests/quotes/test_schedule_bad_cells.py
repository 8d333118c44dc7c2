"""Every cell that can't be used is named, and its line is kept."""

from datetime import datetime

import pytest

from fixtures.build import liner
from quotes.desk.schedules import take_in
from quotes.models import ScheduleLine
from quotes.schedule import read_count, read_schedule
from sizing.workbook import WorkbookError
from tests.quotes.sheets import GOOD, HEADINGS, grid, with_cell

UNREADABLE = ScheduleLine.Attention.UNREADABLE


@pytest.mark.parametrize(
    "heading, value, field, words",
    [
        ("Quantity", "two or three", "quantity", "“two or three” is no count"),
        ("Quantity", "minus two", "quantity", "“minus two” is no count"),
        ("Quantity", "-two", "quantity", "“-two” is no count"),
        ("Quantity", "one hundred", "quantity", "“one hundred” is no count"),
        ("Quantity", 0, "quantity", "“0” is no count"),
        ("Quantity", 2.5, "quantity", "“2.5” is no count"),
        ("Quantity", -1, "quantity", "“-1” is no count"),
        ("Quantity", 10_000, "quantity", "whole number from 1 to 9,999"),
        ("Upper glass height", "2-6", "upper_glass", "type the one you mean"),
        ("Upper glass height", "20 and some", "upper_glass", "Upper glass height"),
        ("Upper glass height", 0, "upper_glass", "not above zero"),
        ("Upper glass height", "==A1+1", "upper_glass", "holds the formula"),
        ("Upper glass height", datetime(2026, 8, 3), "upper_glass", "holds a date or time"),
        ("Upper glass height", True, "upper_glass", "holds TRUE"),
        ("Sash weight", "heavy", "sash_weight", "Sash weight"),
        ("Window", "w" * 81, "label", "81 characters long"),
        ("Finish", "==B2", "finish", "holds the formula"),
    ],
)
def test_named_and_kept(liner, heading, value, field, words):
    """The cell's field and what is wrong with it are said; the line stands first on the page."""
    content = grid(HEADINGS, GOOD, with_cell(heading, value))
    schedule = take_in(content, "s.xlsx", liner, by="ann")
    good, bad = schedule.lines.all()
    assert words in bad.problems[field]
    assert bad.attention == UNREADABLE and bad.answer == {} and bad.row == 3
    assert good.problems == {} and good.answer["outcome"] == "part"


@pytest.mark.parametrize(
    ("text", "count"),
    [("two", 2), ("Two ", 2), ("TWELVE", 12), ("twenty-two", 22), ("twenty two", 22), ("a dozen", 12), ("", 1)],
)  # fmt: skip
def test_a_count_in_words(text, count):
    """Whoever fills in a schedule writes small numbers out."""
    assert read_count(text) == count


def test_a_cell_too_long_to_keep_is_said_so(liner):
    """How long it is, what is shown of it and where the rest stands; the line waits to be mended."""
    row = with_cell("Window", "Stairs, " + "by the old door, " * 60 + "upper")
    line = take_in(grid(HEADINGS, row), "s.xlsx", liner, by="ann").lines.get()
    assert line.problems["label"] == (
        "Window is 1,033 characters long; shorten it to 80 at most. Its first 500 are shown here, all of them "
        "stand in row 2 of the workbook."
    )
    assert len(line.cells["label"]) == 500 and line.attention == UNREADABLE


def test_cells_under_no_heading_are_said():
    """As under a heading merged over two columns: nothing there is read, and the column is named."""
    read = read_schedule(
        grid(("Upper glass height", None, "Quantity"), ("20 1/4", "20 1/4", 2)), liner()
    )
    assert read.notices == ("Nothing is read in column B, which has no heading: type one there.",)


def test_a_long_heading_is_read_to_its_end():
    """Its unit stands at the end; what the page shows of it is visibly cut."""
    heading = "Upper glass height " + "size " * 16 + "(mm)"
    read = read_schedule(grid((heading,), (514,)), liner())
    assert read.lines[0].cells["upper_glass"] == "514 mm"
    assert read.understood == ((heading[:79] + "…", "Upper glass height"),)


def test_all_bad_cells_of_a_line_are_named_together(liner):
    """One line, three bad cells, three sentences."""
    row = with_cell(
        "Quantity", "some", with_cell("Opening height", "4-6", with_cell("Sash weight", "?!"))
    )
    schedule = take_in(grid(HEADINGS, row), "s.xlsx", liner, by="ann")
    assert set(schedule.lines.get().problems) == {"quantity", "opening", "sash_weight"}


@pytest.mark.parametrize("text", ["", "?", "-", "–"])
def test_not_measured_yet_is_no_problem(liner, text):
    """A blank or a dash is a measure still to come: the line gets an answer without it."""
    row = with_cell("Long point of the old liner", text)
    schedule = take_in(grid(HEADINGS, row), "s.xlsx", liner, by="ann")
    assert schedule.lines.get().answer["outcome"] == "part"


@pytest.mark.parametrize("text", ["can't", "CAN’T", "n/a"])
def test_cannot_be_measured_is_never_asked_for(liner, text):
    """Where nobody can take a measure, something else is asked."""
    bare = ("Attic", 1, "20 1/4", None, None, text, "slate", "9")
    line = take_in(grid(HEADINGS, bare), "s.xlsx", liner, by="ann").lines.get()
    assert line.cannot == ["long_point"]
    assert line.answer["ask"] != "long_point"


def test_a_line_without_any_measure_is_named():
    """Only a label: kept, and said to have no measure."""
    read = read_schedule(grid(HEADINGS, GOOD, ("East side",)), liner())
    assert "No measure is given" in read.lines[1].problems["upper_glass"]


@pytest.mark.parametrize(
    "rows, words",
    [
        ([HEADINGS], "no line below the headings of row 1"),
        ([("a",), ("1",)], "no row of headings names a measure of [^(]*; choose"),
        (
            [("Elm",), ("H", "W"), ("1",)],
            r"jamb liner \(row 2 of sheet Windows says “H”, “W”\); choose",
        ),
        ([HEADINGS, *[GOOD] * 2001], "has 2,001 lines; up to 2,000"),
    ],
    ids=["no line", "no headings", "none of ours", "too many"],
)
def test_a_workbook_of_no_use_is_refused_whole(rows, words):
    """One sentence says what is wrong; nothing is stored."""
    with pytest.raises(WorkbookError, match=words):
        read_schedule(grid(*rows), liner())


def test_text_is_no_workbook():
    """Neither is a file of another kind."""
    with pytest.raises(WorkbookError, match=r"no \.xlsx workbook"):
        read_schedule(b"label,quantity\n", liner())
