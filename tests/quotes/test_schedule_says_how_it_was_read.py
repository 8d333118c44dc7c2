"""How a sender's workbook was read stands before its lines: what is left out is seen without a click."""

import re
from html import unescape

import pytest

from quotes.desk.schedules import take_in, work_out
from tests.quotes.sheets import grid

pytestmark = pytest.mark.django_db

HEADS = ("Building", "Flat", "Room", "Glass top", "Remarks")


def page_of(clerk, schedule):
    html = unescape(clerk.get(f"/schedules/{schedule.pk}/").content.decode())
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", html))


def test_before_the_lines(liner, clerk):
    """Totals that are no windows are told above the table, and which of the sender's columns are not read."""
    rows = (("A", 3, "stair", "20 1/4", "rush"), ("Total", "", "", "", ""))
    schedule = take_in(grid(HEADS, *rows), "elm.xlsx", liner, by="ann")
    work_out(schedule.pk)
    page = page_of(clerk, schedule)
    assert page.index("Row 3 is read as a total, not as a window.") < page.index(
        "Building A, Flat 3"
    )
    assert "How the workbook was read; not read: “Remarks”" in page


def test_columns_of_one_label_are_told_together(liner, clerk):
    """Three columns that say where a window is are told as the one label that they make."""
    schedule = take_in(grid(HEADS, ("A", 3, "stair", "20 1/4", "")), "elm.xlsx", liner, by="ann")
    page = page_of(clerk, schedule)
    assert "“Building”, “Flat”, “Room” together are read as Window." in page
    assert "“Glass top” is read as Upper glass height." in page
