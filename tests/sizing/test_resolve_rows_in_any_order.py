"""A workbook may list its sizes from the largest down, or as they came: the answers stay the same."""

from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import pairwise

import pytest
from openpyxl import load_workbook

from fixtures.build import balance, liner, strip
from sizing.lengths import Length, Unit, parse_length
from sizing.resolver import Opening, compile_table, resolve
from sizing.workbook import read_workbook, workbook_bytes

TABLES = {"liner": liner, "balance": balance, "strip": strip}
ORDERS = {
    "falling": lambda n: list(range(n))[::-1],
    "mixed": lambda n: sorted(range(n), key=lambda at: at * 7 % n),
}


@cache
def listed(name, order=""):
    """The table with its sizes in another order, and each of its parts still of its own size."""
    table = TABLES[name]()
    if not order:
        return compile_table(table)
    places = ORDERS[order](len(table.rows))
    assert sorted(places) == list(range(len(table.rows))) != places
    parts = tuple(replace(part, row=places.index(part.row)) for part in table.parts)
    return compile_table(replace(table, rows=tuple(table.rows[at] for at in places), parts=parts))


def answered(compiled, said):
    (answer,) = resolve(compiled, [Opening(said)])
    size = None if answer.row is None else compiled.table.rows[answer.row]
    return answer.outcome, answer.reason, size, answer.ask, answer.text, round(answer.certainty, 4)


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("name", TABLES)
def test_every_size_and_what_lies_between(name, order):
    """Sizes, what lies between two of them and what an inch more or less makes of one measure."""
    plain, other = listed(name), listed(name, order)
    measures = [(one.measure.code, one.column) for one in plain.measures]
    rows = sorted(plain.table.rows)
    for low, high in pairwise(rows):
        for share in (0, 0.4, 0.5):
            sizes = [Length(round(a + share * (b - a))) for a, b in zip(low, high, strict=True)]
            said = {code: sizes[column] for code, column in measures}
            code, column = measures[-1]
            for one in (said, {code: sizes[column]}, said | {code: Length(sizes[column] + 8128)}):
                assert answered(other, one) == answered(plain, one)


def test_between_two_sizes_nothing_is_settled():
    """Of an opening half-way between two sizes alone, a table that begins with its largest asks on."""
    said = {
        "opening": parse_length("57 3/4", Unit.INCH),
        "long_point": parse_length("59 1/8", Unit.INCH),
    }
    (answer,) = resolve(listed("liner", "falling"), [Opening(said)])
    assert (answer.outcome, answer.reason, answer.row) == ("ask", "size", None)


def test_such_a_workbook_is_taken():
    """As the factory sends it: its lines from the largest size down."""
    book = load_workbook(BytesIO(workbook_bytes(liner())))
    sheet = book["Parts"]
    lines = [[cell.value for cell in line] for line in sheet.iter_rows(min_row=2)]
    for at, line in enumerate(reversed(lines), 2):
        for column, value in enumerate(line, 1):
            sheet.cell(at, column).value = value
    file = BytesIO()
    book.save(file)
    assert read_workbook(file.getvalue())[0].rows == liner().rows[::-1]
