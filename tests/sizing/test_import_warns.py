"""What is doubtful but possible is read, and said in a warning that names its cell."""

import pytest

from sizing.workbook import read_workbook
from tests.sizing.sheets import cell, workbook

CELLS = [
    ("Parts!D3", 11, "sheet Parts, cell D3: the bands of light (to 10 lb) and heavy (from 11 lb) leave a gap at glass 17 1/2."),
    ("Parts!D3", 9, "sheet Parts, cell D3: the bands of light (to 10 lb) and heavy (from 9 lb) overlap at glass 17 1/2."),
    ("Parts!E2", None, "cell D3: the bands of light (to no limit) and heavy (from 10 lb) overlap"),
    ("Parts!G2", None, "cell G2: is blank beside a price; such a part counts as not offered."),
    ("Parts!H2", None, "cell H2: is blank; such a part can't be quoted without asking the factory."),
    ("Parts!F2", "chalk", "sheet Parts: has no line for 17 1/2 light ash and 3 more combinations; what is not listed counts as not offered."),
    ("Family!A10", "colour", "sheet Family, cell A10: the key colour is not one that is read; it is left out."),
    ("Parts!I1", "Note", "sheet Parts: the column Note is not one that is read; it is left out."),
    ("Slips!F1", "Since", "sheet Slips: the column Since is not one that is read; it is left out."),
]  # fmt: skip


def test_sound():
    """The sound workbook has nothing doubtful."""
    assert read_workbook(workbook())[1] == []


@pytest.mark.parametrize(("where", "value", "sentence"), CELLS)
def test_cell(where, value, sentence):
    """One doubtful cell gives one warning."""
    warnings = read_workbook(workbook(shape=cell(where, value)))[1]
    assert len(warnings) == 1
    assert sentence in warnings[0]


def test_same_gap_in_many_rows():
    """The same gap in several rows is said once, with their number."""

    def shape(book):
        book["Parts"]["D3"], book["Parts"]["D5"] = 11, 12

    (warning,) = read_workbook(workbook(shape=shape))[1]
    assert warning.endswith("leave a gap at glass 17 1/2 (and at 1 more size).")


def test_no_weight_measure():
    """Weight bands without a weight to measure get the usual one, and a warning."""
    table, (warning,) = read_workbook(workbook(lambda sheets: sheets["Measures"].pop()))
    assert table.measures[-1].code == "sash_weight"
    assert warning.startswith("sheet Measures: has no weight")


def test_another_sheet():
    """A sheet of another name is left out and said so."""
    (warning,) = read_workbook(workbook(lambda sheets: sheets.update(Notes=[["hello"]])))[1]
    assert warning == "sheet Notes: is not one that is read; it is left out."


def test_no_prices_at_all():
    """A table without prices gets one warning, not one a part."""

    def spoil(sheets):
        for line in sheets["Parts"][1:]:
            line[7] = None

    (warning,) = read_workbook(workbook(spoil))[1]
    assert warning.startswith("sheet Parts, cell H2: is blank (and in 2 more rows);")


def test_inches_called_mm():
    """Sizes that fit no window in the table's unit are asked about; in the right one they are not."""
    spoiled = read_workbook(workbook(metric))[1]
    assert spoiled[0] == (
        "sheet Parts: the longest size is 43 mm; if these are inches, correct length_unit on the sheet Family."
    )


def test_mm_called_inches():
    def spoil(sheets):
        for line in sheets["Parts"][1:]:
            line[0], line[1] = line[0] * 10, 385 if line[0] < 18 else 390

    (warning,) = read_workbook(workbook(spoil))[1]
    assert warning == (
        "sheet Parts: the shortest size is 175 in; if these are millimetres, correct length_unit on the sheet Family."
    )


def metric(sheets):
    """The same numbers in a family that says mm, its measures and slips left to the defaults."""
    sheets["Family"] = [
        ["length_unit", "mm"] if key == "length_unit" else [key, value]
        for key, value in sheets["Family"]
    ]
    for title in ("Measures", "Slips"):
        del sheets[title]
    for line in sheets["Parts"][1:]:
        line[1] = 40 if line[1] == "40" else 43
