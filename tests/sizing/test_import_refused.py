"""A workbook with a mistake is refused, and the sentence names sheet, cell and remedy."""

from datetime import date, time

import pytest

from sizing.workbook import WorkbookError, read_workbook
from tests.sizing.sheets import cell, workbook


def without(title):
    return lambda sheets: sheets.pop(title)


def no_column(title, heading):
    def spoil(sheets):
        at = sheets[title][0].index(heading)
        for line in sheets[title]:
            del line[at]

    return spoil


def extra(title, *line):
    return lambda sheets: sheets[title].append(list(line))


def no_key(key):
    def spoil(sheets):
        sheets["Family"] = [line for line in sheets["Family"] if line[0] != key]

    return spoil


CELLS = [
    # sizes
    ("Parts!B3", "wide", "sheet Parts, cell B3: “wide” is no number"),
    ("Parts!B3", "=A3*2", "cell B3: holds the formula “=A3*2” where a size belongs; put its value there"),
    ("Parts!B3", None, "cell B3: is blank; fill in the size."),
    ("Parts!B3", True, "cell B3: holds TRUE where a size belongs"),
    ("Parts!B3", date(2026, 3, 5), "cell B3: holds a date or time (2026-03-05) where a size belongs; format the cell as text"),
    ("Parts!B3", time(3, 5), "cell B3: holds a date or time"),
    ("Parts!B3", "#REF!", "cell B3: holds the error #REF! where a size belongs"),
    ("Parts!B3", 0, "cell B3: 0 is no size above zero"),
    ("Parts!B3", -40, "cell B3: -40 is no size above zero"),
    ("Parts!B3", 400_000, "cell B3: 400000 in is over 10 m: give a shorter length."),
    ("Parts!B3", 435, "cell B3: 435 in is over 10 m: give a shorter length, or 435 mm if it is millimetres. If all sizes are, type mm as length_unit in sheet Family."),
    ("Parts!B3", 0.3, "cell B3: 0.3 in is shorter than 10 mm; is it in the family's unit?"),
    ("Parts!B3", "2-6", "cell B3: “2-6” can be read as"),
    # rows
    ("Parts!B4", "39", "cell B4: opening is 39 at glass 19, but 40 at the smaller 17 1/2 (row 2); all sizes must rise together"),
    ("Parts!B3", "41", "cell A3: glass 17 1/2 stands already in row 2 with other sizes"),
    ("Parts!C3", "light", "cell A3: this size in light ash stands already in row 2; correct or delete one of them."),
    ("Parts!C3", "LIGHT", "cell A3: this size in light ash stands already in row 2"),
    # part numbers and names
    ("Parts!G3", "w1la", "cell G3: part number w1la stands already in row 2"),
    ("Parts!G3", "A\u200bB", "cell G3: has an invisible character (zero width space, U+200B)"),
    ("Parts!G3", "A\u202eB", "cell G3: has an invisible character (right-to-left override, U+202E)"),
    ("Parts!G3", "N" * 61, "cell G3: is 61 characters long; shorten it to 60 at most."),
    ("Parts!G3", date(2026, 1, 2), "cell G3: holds a date or time (2026-01-02) where text belongs"),
    ("Parts!G3", "=B3", "cell G3: holds the formula “=B3” where text belongs"),
    ("Parts!F3", 10**15, "cell F3: is a number shown in another form; format the cell as text"),
    # bands
    ("Parts!E3", 9, "cell E3: is not above weight_min; correct the band."),
    ("Parts!D3", -1, "cell D3: -1 is below zero"),
    ("Parts!D3", "heavy", "cell D3: “heavy” is no number"),
    ("Parts!D3", 5000, "cell D3: 5000 lb is over 500 kg"),
    # prices
    ("Parts!H3", "n/a", "cell H3: “n/a” is no number; type it as a plain number such as 12.5."),
    ("Parts!H3", -1, "cell H3: -1 is below zero"),
    ("Parts!H3", 12.345, "cell H3: 12.345 has more than the 2 decimals of USD; round it."),
    ("Parts!H3", 10_000_000, "cell H3: 10000000 is too large for a price"),
    ("Parts!H3", "=1+1", "cell H3: holds the formula"),
    ("Parts!H3", "1e400", "cell H3: “1e400” is no number"),
    ("Parts!H3", True, "cell H3: holds TRUE where a number belongs"),
    # headings
    ("Parts!B1", "Glass", "cell B1: the heading Glass stands twice; keep one of them."),
    ("Parts!J3", "note", "cell J3: stands under no heading"),
    # family
    ("Family!B5", "ft", "sheet Family, cell B5: “ft” is not known; type in or mm."),
    ("Family!B6", "st", "cell B6: “st” is not known; type lb or kg."),
    ("Family!B7", "XYZ", "cell B7: “XYZ” is no currency of ISO 4217"),
    ("Family!B7", "XAU", "cell B7: “XAU” is no currency of ISO 4217"),
    ("Family!B8", 2.5, "cell B8: 2.5 is not a whole number from 0 to 104"),
    ("Family!B8", "soon", "cell B8: “soon” is no number"),
    ("Family!B8", 9, "cell B9: 3 weeks are fewer than lead_weeks_min, 9; exchange them."),
    ("Family!B2", "a/b", "cell B2: “a/b” may have only letters, digits, spaces, dots and hyphens"),
    ("Family!B4", None, "cell B4: is blank; fill in the factory's name."),
    ("Family!A9", "code", "cell A9: the key code stands twice (also in row 2)"),
    # measures
    ("Measures!C2", "sill", "sheet Measures, cell C2: “sill” is no column of the sheet Parts; type one of glass, opening."),
    ("Measures!D2", "volume", "cell D2: “volume” is not known; type length or weight."),
    ("Measures!C4", None, "cell C4: is blank; type the column of the sheet Parts that it measures."),
    ("Measures!C5", "glass", "cell C5: is filled in for a weight; clear it."),
    ("Measures!E2", None, "cell E2: is blank; fill in the usual reading error."),
    ("Measures!E5", 0, "cell E5: is 0; type the usual reading error"),
    ("Measures!A3", "Upper glass", "cell A3: Upper_glass stands already in row 2"),
    ("Measures!C4", "glass", "cell C4: is the third measure of glass"),
    # slips
    ("Slips!A2", "sill", "sheet Slips, cell A2: “sill” is no measure; type one of upper_glass, lower_glass, opening."),
    ("Slips!A2", "sash_weight", "cell A2: sash_weight is a weight; slips are of lengths only."),
    ("Slips!E2", 15, "cell E2: 15 is not from 0 to 1; 15 % is typed 0.15."),
    ("Slips!E2", -0.1, "cell E2: -0.1 is not from 0 to 1"),
    ("Slips!C2", -0.5, "cell D2: is less than shift_min; exchange them"),
    ("Slips!C2", "much", "cell C2: “much” is no number"),
    ("Slips!B2", None, "cell B2: is blank; fill in what is done wrongly."),
    # fit
    ("Fit!B2", None, "sheet Fit, cell B2: is blank"),
]  # fmt: skip


@pytest.mark.parametrize(("where", "value", "sentence"), CELLS)
def test_cell(where, value, sentence):
    """One spoilt cell gives one sentence that names it."""
    with pytest.raises(WorkbookError) as refused:
        read_workbook(workbook(shape=cell(where, value)))
    assert sentence in "\n".join(refused.value.problems)


SHEETS = [
    (without("Parts"), "sheet Parts: is missing; add it, or correct the name of the sheet."),
    (without("Family"), "sheet Family: is missing"),
    (no_key("currency"), "sheet Family: the key currency is missing; add a line currency with a currency code"),
    (no_column("Parts", "finish"), "sheet Parts, row 1: the heading finish is missing; add its column, or give that name to its column (row 1 also has glass, opening)."),
    (no_column("Parts", "part_number"), "sheet Parts, row 1: the heading part_number is missing"),
    (no_column("Measures", "kind"), "sheet Measures, row 1: the heading kind is missing"),
    (no_column("Slips", "share"), "sheet Slips, row 1: the heading share is missing"),
    (lambda s: s.update(Parts=[[]]), "sheet Parts: is empty; its first row has the headings weight_class"),
    (lambda s: s.update(Parts=s["Parts"][:1]), "sheet Parts: has no parts; add one line for each part."),
    (lambda s: s.update(Parts=[line[2:] for line in s["Parts"]]), "0 columns of sizes stand before weight_class"),
    (extra("Slips", "opening", "other", 1, 2, 0.95), "sheet Slips, cell E4: brings the shares of opening to 1.05; together they must not pass 1."),
    (extra("Parts", 17.5, "40", "light", 5, 10.5, "slate", "W1LS", 31), "sheet Parts, cell E6: is 10.5 lb, but 10 lb in row 2 for the same size and class light"),
    (extra("Measures", "frame_weight", "Frame", None, "weight", 1, ""), "sheet Measures, cell D6: is the second weight"),
    (lambda s: s["Family"].append([None, "loose"]), "sheet Family, cell B10: has no key beside it in column A"),
]  # fmt: skip


@pytest.mark.parametrize(("spoil", "sentence"), SHEETS)
def test_sheet(spoil, sentence):
    """A sheet, heading or line that is missing or too many is named."""
    with pytest.raises(WorkbookError) as refused:
        read_workbook(workbook(spoil))
    assert sentence in "\n".join(refused.value.problems)


def test_number_shown_with_leading_zeros():
    """A part number that only looks like 00123 is refused: its zeros are not in the cell."""

    def shape(book):
        book["Parts"]["G3"] = 123
        book["Parts"]["G3"].number_format = "00000"

    with pytest.raises(WorkbookError, match="cell G3: is a number shown in another form"):
        read_workbook(workbook(shape=shape))


def test_all_problems_at_once():
    """Every mistake is named in one go, and one line says how many there are."""

    def shape(book):
        book["Parts"]["B3"] = "wide"
        book["Parts"]["H2"] = "dear"
        book["Slips"]["A2"] = "sill"

    with pytest.raises(WorkbookError) as refused:
        read_workbook(workbook(shape=shape))
    places = {problem.split(":")[0] for problem in refused.value.problems}
    assert places == {"sheet Parts, cell B3", "sheet Parts, cell H2", "sheet Slips, cell A2"}
    assert refused.value.first_and_count.endswith("(and 2 more)")
    assert "\n" not in refused.value.first_and_count


def rename(title, **headings):
    def spoil(sheets):
        sheets[title][0] = [headings.get(heading, heading) for heading in sheets[title][0]]

    return spoil


def problems(spoil=None, shape=None):
    with pytest.raises(WorkbookError) as refused:
        read_workbook(workbook(spoil, shape))
    return list(refused.value.problems)


def test_a_heading_by_another_name():
    """One sentence, with what stands there instead; the lines below are not all called wrong for it."""
    assert problems(rename("Parts", part_number="Part #")) == [
        "sheet Parts, row 1: the heading part_number is missing; add its column, or give that name "
        "to its column (row 1 also has glass, opening, Part #)."
    ]


def test_a_title_above_the_headings():
    """A price list's title and a blank row stand above the headings: one sentence that says where they are."""

    def title(sheets):
        sheets["Parts"][:0] = [["Wren Hill price list"], []]

    assert problems(title) == [
        "sheet Parts, row 1: no headings stand here but in row 3; delete what is above that row."
    ]


def test_merged_cells_in_their_order():
    """As they stand on the sheet, so that whoever mends them goes down once."""
    pairs = [f"{column}{row}:{column}{row + 1}" for row in (2, 4) for column in "AB"]

    def merge(book):
        for pair in reversed(pairs):
            book["Parts"].merge_cells(pair)

    assert [words.split("cells ")[1][:5] for words in problems(shape=merge)][:4] == pairs
