"""A workbook becomes the size table it says."""

from decimal import Decimal

import pytest

from sizing.lengths import Length, Unit
from sizing.table import (
    Column,
    FitQuestion,
    Measure,
    Part,
    Slip,
    default_measures,
    default_slips,
)
from sizing.weights import PER_KG, PER_POUND, Weight, WeightUnit
from sizing.workbook import read_workbook
from tests.sizing.sheets import cell, workbook

INCH = 8128


def read(spoil=None, shape=None):
    return read_workbook(workbook(spoil, shape))


def test_family():
    """The family's facts come from the sheet Family; what is optional has its default."""
    table, _ = read()
    assert (table.code, table.name, table.factory) == ("wren-liner", "Wren liner", "Wren Hill Shop")
    assert (table.unit, table.weight_unit, table.currency) == (Unit.INCH, WeightUnit.POUND, "USD")
    assert (table.lead_weeks_min, table.lead_weeks_max) == (2, 3)
    assert (table.sold_as, table.girth, table.linear_weight) == ("piece", None, None)


def test_family_options():
    """sold_as, girth and the weight of a foot are read when they are there."""
    more = [["sold_as", "Pair"], ["Girth", "8 1/2"], ["linear weight", 0.5]]
    table, _ = read(lambda sheets: sheets["Family"].extend(more))
    assert (table.sold_as, table.girth, table.linear_weight) == (
        "pair", Length(17 * INCH // 2), Weight(PER_POUND // 2),
    )  # fmt: skip


def test_columns_and_rows():
    """The headings before weight_class are the columns; a size is a number or a text, in the family's unit."""
    table, _ = read()
    assert table.columns == (Column("glass", "Glass"), Column("opening", "Opening"))
    assert table.rows == (
        (Length(INCH * 35 // 2), Length(INCH * 40)),
        (Length(INCH * 19), Length(INCH * 173 // 4)),
    )


def test_parts():
    """One line is one part; without a part number it is not offered."""
    table, _ = read()
    assert table.parts[0] == Part(
        0, "light", Weight(5 * PER_POUND), Weight(10 * PER_POUND), "ash", "W1LA", Decimal("31.50")
    )
    assert (table.parts[3].part_number, table.parts[3].price) == (None, None)
    assert (table.finishes, table.weight_classes) == (("ash",), ("light", "heavy"))


def test_measures_slips_and_fit():
    """Measures, slips and fit questions come as declared; a shift may be below zero."""
    table, _ = read()
    assert table.measures[0] == Measure(
        "upper_glass", "Upper glass", "glass", "length", INCH // 8, "Edge to edge.", "upper"
    )
    assert table.measures[3].column is None and table.measures[3].tolerance == PER_POUND // 2
    assert table.slips[0] == Slip(
        "upper_glass", "visible glass only", Length(-INCH * 5 // 4), Length(-INCH * 3 // 4), 0.15
    )
    assert table.fit == (FitQuestion("Do both sashes slide?", "yes", "Not a double-hung window."),)


def test_defaults():
    """Without Measures and Slips the usual ones serve, and Fit is empty."""

    def spoil(sheets):
        for title in ("Measures", "Slips", "Fit"):
            del sheets[title]

    table, warnings = read(spoil)
    assert table.measures == default_measures(
        table.columns, Unit.INCH, WeightUnit.POUND, weighed=True
    )
    assert table.slips == default_slips(table.measures, Unit.INCH)
    assert (table.fit, warnings) == ((), [])


@pytest.mark.parametrize("keep", [0, 1])
def test_empty_sheets(keep):
    """Sheets that are empty, or have only their headings, count as missing."""

    def spoil(sheets):
        for title in ("Measures", "Slips", "Fit"):
            sheets[title] = sheets[title][:keep]

    table, _ = read(spoil)
    assert [m.code for m in table.measures] == [
        "upper_glass", "lower_glass", "opening", "sash_weight",
    ]  # fmt: skip


def test_millimetres_and_kilograms():
    """In a millimetre family bare numbers are millimetres, and inches may still be typed with their mark."""

    def spoil(sheets):
        sheets["Family"][4][1], sheets["Family"][5][1] = "mm", "kg"
        for title in ("Measures", "Slips", "Fit"):
            del sheets[title]
        for line, opening in zip(sheets["Parts"][1:], (1016, '40"', 1100.5, 1100.5), strict=True):
            line[0] = line[0] * 25.4
            line[1] = opening

    table, _ = read(spoil)
    assert table.rows[0] == (Length(INCH * 35 // 2), Length(1016 * 320))
    assert table.rows[1][1] == Length(352160)
    assert table.parts[0].weight_min == 5 * PER_KG


def test_weight_unit_left_out():
    """An inch family weighs in pounds unless it says otherwise."""
    table, _ = read(lambda sheets: sheets["Family"].pop(5))
    assert table.weight_unit is WeightUnit.POUND


def test_neither_class_nor_finish():
    """A family without weights and finishes leaves those cells blank, and nobody is asked to weigh."""

    def spoil(sheets):
        del sheets["Measures"], sheets["Slips"]
        for line in sheets["Parts"][1:]:
            line[2:6] = [None] * 4
        sheets["Parts"] = [sheets["Parts"][0], sheets["Parts"][1], sheets["Parts"][3]]

    table, warnings = read(spoil)
    assert (table.finishes, table.weight_classes, warnings) == (("",), ("",), [])
    assert all(m.kind == "length" for m in table.measures)


def test_spelling_of_headings():
    """Case, spaces and hyphens don't matter in titles of sheets, headings, keys and references."""

    def spoil(sheets):
        sheets[" parts"] = sheets.pop("Parts")
        sheets["MEASURES"] = sheets.pop("Measures")
        sheets[" parts"][0][2:] = [
            "Weight Class",
            "weight-min",
            " Weight_Max ",
            "FINISH",
            "Part number",
            "Price",
        ]
        sheets["MEASURES"][3][2] = "OPENING"
        sheets["Slips"][1][0] = "Upper Glass"
        sheets["Family"][4][0] = "Length unit"
        sheets["Fit"][0] = ["Question", "Answer", "What it is otherwise"]

    assert read(spoil)[0] == read()[0]


def test_number_as_text_and_text_as_number():
    """A price typed as text and a part number typed as a number mean what they show."""

    def shape(book):
        book["Parts"]["H2"] = "31.5"
        book["Parts"]["G2"] = 40125

    table, _ = read(shape=shape)
    assert (table.parts[0].price, table.parts[0].part_number) == (Decimal("31.50"), "40125")


def test_float_noise():
    """The binary noise of a worked-out price is not mistaken for more decimals."""
    table, _ = read(shape=cell("Parts!H2", 0.1 + 0.2))
    assert table.parts[0].price == Decimal("0.30")


def test_spaces_and_blank_lines():
    """Stray spaces and blank lines change nothing."""

    def spoil(sheets):
        sheets["Parts"].insert(2, [None, "  "])
        sheets["Parts"][1][6] = "  W1LA\u00a0"

    assert read(spoil)[0] == read()[0]


@pytest.mark.parametrize(
    ("codes", "sashes"),
    [
        (("upper_glass", "lower_glass"), ("upper", "lower")),
        (("lower_glass", "upper_glass"), ("lower", "upper")),
        (("glass_top", "glass_bottom"), ("upper", "lower")),
        (("bottom", "second"), ("lower", "upper")),
        (("first", "top"), ("lower", "upper")),
        (("first", "second"), ("upper", "lower")),
        (("first", "to_stop"), ("upper", "lower")),
    ],
)
def test_sashes(codes, sashes):
    """Two measures of one column are the upper and the lower sash: by name, else in order."""

    def spoil(sheets):
        del sheets["Slips"]
        for line, code in zip(sheets["Measures"][1:3], codes, strict=True):
            line[0] = line[1] = code

    table, _ = read(spoil)
    assert tuple(m.sash for m in table.measures[:2]) == sashes
    assert [m.sash for m in table.measures[2:]] == [None, None]
