"""What a clerk is told of how a sender's workbook was read: what is left out, and what was not read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from quotes.schedule.columns import Found, says_no_size
from sizing.lengths import Length, LengthError, from_number, parse_length
from sizing.table import Measure, SizeTable
from sizing.workbook.cells import exact
from sizing.workbook.safe import Cell, Sheet, filled

_MOST = 8


@dataclass(frozen=True)
class Seen:
    """A sheet as it was read. `heads` are the sender's own headings by column; `idle` the rows in which nothing is
    read, `totals` those that sum up others, `units_row` the one of units beneath the headings."""

    book: Workbook
    sheet: Sheet
    head_row: int
    heads: Mapping[int, str]
    found: Sequence[Found]
    idle: Sequence[int]
    totals: Sequence[int]
    units_row: int | None


def notices_of(seen: Seen, table: SizeTable) -> list[str]:
    """Whole sentences, what costs most first."""
    notices = []
    unread = [f"“{seen.heads[at]}”" for at in _sizes_unread(seen, table)]
    if unread:
        lacking = _listed([m.label for m in _lacking(seen, table)], "or")
        notices.append(
            f"{_listed(unread, 'and')} {'holds' if len(unread) == 1 else 'hold'} sizes that are not read. Where one is "
            f"the {lacking}, call it so in row {seen.head_row}, and bring the workbook in again."
        )
    headless = _headless(seen)
    if headless:
        notices.append(
            f"Nothing is read in column {_some(headless)}, which has no heading: type one there."
        )
    if seen.units_row is not None:
        notices.append(
            f"Row {seen.units_row} is read as the units of its columns, not as a window."
        )
    if len(seen.totals) == 1:
        notices.append(f"Row {seen.totals[0]} is read as a total, not as a window.")
    elif seen.totals:
        notices.append(f"Rows {_some(seen.totals)} are read as totals, not as windows.")
    title = seen.sheet.title
    others = [s.title for s in seen.book.worksheets if s.title != title and filled(s).lines]
    others = [other for other in others if other != "Finishes"]
    if others:
        more = f" and {len(others) - _MOST} more" if len(others) > _MOST else ""
        notices.append(f"Only the sheet {title} is read, not {', '.join(others[:_MOST])}{more}.")
    if seen.idle:
        notices.append(f"Nothing that is read stands in row {_some(seen.idle)}: left out.")
    shapes = seen.book[title].row_dimensions
    hidden = [row for row in seen.sheet.lines if row in shapes and shapes[row].hidden]
    if hidden:
        notices.append(f"Hidden in the workbook and read all the same: row {_some(hidden)}.")
    return notices


def _some(places: Sequence[int | str]) -> str:
    return ", ".join(map(str, places[:_MOST])) + (" and more" if len(places) > _MOST else "")


def _listed(words: Sequence[str], last: str) -> str:
    *some, end = words[:_MOST]
    return f"{', '.join(some)} {last} {end}" if some else end


def _headless(seen: Seen) -> list[str]:
    """Letters of the columns with something below the headings' row and no text in it."""
    rows = seen.sheet.lines.items()
    below = {at for row, cells in rows if row > seen.head_row for at in cells}
    known = seen.sheet.lines[seen.head_row]
    text = {at for at, cell in known.items() if cell.kind in ("s", "inlineStr")}
    return [get_column_letter(at) for at in sorted(below - text)]


def _lacking(seen: Seen, table: SizeTable) -> list[Measure]:
    """Measures of the sizes for which no column is read."""
    read = {found.field.code for found in seen.found}
    sizes = {m.column for m in table.measures if m.code in read}
    return [m for m in table.measures if m.kind == "length" and m.column not in sizes]


def _sizes_unread(seen: Seen, table: SizeTable) -> list[int]:
    """Columns of the sender's own that hold sizes like ours, where fewer than two sizes of the table are read."""
    lacking = _lacking(seen, table)
    sizes = {m.column for m in table.measures if m.kind == "length"}
    if len(sizes) - len({m.column for m in lacking}) >= min(2, len(sizes)):
        return []
    at = [table.column_index(code) for code in {m.column for m in lacking} if code]
    least, most = (pick(row[i] for row in table.rows for i in at) for pick in (min, max))
    found = []
    for column, heading in seen.heads.items():
        rows = seen.sheet.lines.items()
        cells = [line[column] for row, line in rows if row > seen.head_row and column in line]
        alike = [size for cell in cells if least <= (size := _size(cell, table)) <= most]
        if len(alike) * 2 > len(cells) and not says_no_size(heading):
            found.append(column)
    return sorted(found)


def _size(cell: Cell, table: SizeTable) -> Length:
    """The length that a cell holds; 0 if it holds none."""
    try:
        if cell.kind == "n":
            return from_number(exact(cell.value), table.unit)
        return parse_length(str(getattr(cell.value, "text", cell.value)), table.unit)
    except LengthError:
        return Length(0)
