"""What a factory writes above, beneath and in a table that is no part: told in one sentence each."""

import pytest

from sizing.workbook import WorkbookError, read_workbook
from sizing.workbook.notes import WorkbookError as Refused
from tests.sizing.sheets import workbook


def refused(spoil):
    with pytest.raises(WorkbookError) as error:
        read_workbook(workbook(spoil))
    return list(error.value.problems)


@pytest.mark.parametrize(
    "row",
    [
        ["in", "in", None, "lb", "lb", None, None, "USD"],
        ["All sizes subject to change."],
        ["Prices of 2026, f.o.b. mill."],
        [None, None, "see the catalogue"],
    ],
)
def test_a_row_of_units_or_words(row):
    """One sentence for the row and none for each of its cells; the parts about it are read."""
    place = f"cell {'ABC'[next(at for at, value in enumerate(row) if value)]}2"
    assert refused(lambda sheets: sheets["Parts"].insert(1, row)) == [
        f"sheet Parts, {place}: row 2 holds no part but words or units; delete the row, or move them to a sheet of their own."
    ]


@pytest.mark.parametrize("row", [["17"], ['17 1/2"', None, "light"]])
def test_a_part_half_filled(row):
    """A row that holds a size is a part's, and says what is missing."""
    (first, *_) = refused(lambda sheets: sheets["Parts"].append(row))
    assert first == "sheet Parts, cell B6: is blank; fill in the size."


def test_the_same_all_down_a_column():
    """Told once, with how far down it goes; what is wrong otherwise stands by itself."""
    cells = [f"sheet Parts, cell I{row}: “${row}.00” is no number; type it." for row in range(2, 9)]
    other = "sheet Parts, cell H4: is blank; fill in the size."
    assert Refused([*cells[:3], other, *cells[3:]]).gathered == [
        "sheet Parts, cell I2: “$2.00” is no number; type it. The same in 6 more cells below it, down to I8.",
        other,
    ]


def test_three_alike_are_told_each():
    cells = [
        f"sheet Parts, cell A{row}: the cells A{row}:A{row + 1} are merged." for row in (2, 4, 6)
    ]
    assert Refused(cells).gathered == cells


def test_the_same_in_two_columns_and_sheets():
    """Each column, and each sheet, has its own."""
    cells = [f"sheet {sheet}, cell {column}{row}: is blank." for sheet in ("Parts", "Slips") for column in "AB" for row in range(2, 7)]  # fmt: skip
    assert [words.split(": ")[0] for words in Refused(cells).gathered] == [
        f"sheet {sheet}, cell {column}2" for sheet in ("Parts", "Slips") for column in "AB"
    ]
