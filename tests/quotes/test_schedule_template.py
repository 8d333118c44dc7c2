"""The workbook to fill in: read as it is, with help and checks at its cells."""

import pytest

from fixtures.build import balance, liner, strip
from quotes.schedule import fields_of, read_schedule, template_bytes
from tests.quotes.sheets import opened, saved


@pytest.mark.parametrize("table", [liner(), balance(), strip()], ids=lambda t: t.code)
def test_a_filled_template_is_read_whole(table):
    """Every column of the template comes back under its own heading."""
    book = opened(template_bytes(table))
    for column, field in enumerate(fields_of(table), start=1):
        book["Windows"].cell(4, column).value = "2" if field.code == "quantity" else "7"
    (line,) = read_schedule(saved(book), table).lines
    assert line.row == 4
    assert set(line.cells) == {field.code for field in fields_of(table)}


def test_finishes_can_only_be_chosen():
    """The finish column takes the family's finishes from a list."""
    book = opened(template_bytes(liner()))
    rules = {rule.type: rule for rule in book["Windows"].data_validations.dataValidation}
    assert rules["list"].formula1 == "=Finishes!$A$2:$A$4"
    assert [cell.value for cell in book["Finishes"]["A"]] == ["Finish", *liner().finishes]
    assert "G4:G2003" in str(rules["list"].sqref)


def test_measures_are_text_cells():
    """A spreadsheet must not make a date of 3/8, so a measure's cells are text."""
    sheet = opened(template_bytes(liner()))["Windows"]
    assert sheet["C4"].number_format == "@"


def test_the_download(clerk, liner):
    """The page gives the template of a family under its own name."""
    response = clerk.get("/schedules/blank/otter-liner.xlsx")
    assert "window-schedule-otter-liner.xlsx" in response["Content-Disposition"]
    assert opened(response.content).sheetnames[0] == "Windows"
