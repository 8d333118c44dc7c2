"""A sender's workbook -> lines of text as typed, with every cell that can't be used named."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from openpyxl import Workbook

from quotes.messages import whole_number as said_number
from quotes.schedule.columns import (
    CANNOT,
    COUNT,
    FINISH,
    LABEL,
    OURS,
    Field,
    Found,
    HeadingError,
    fields_of,
    find_columns,
    unit_of,
)
from quotes.schedule.notices import Seen, notices_of
from quotes.schedule.pause import collector_paused
from sizing.numerals import whole_number
from sizing.table import SizeTable
from sizing.tokens import COUNTS, LONGEST_TEXT, TENS
from sizing.workbook import WorkbookError
from sizing.workbook.cells import exact, unfit
from sizing.workbook.safe import Cell, Sheet, filled, open_book

MOST_LINES = 2000
MOST_COUNT = 9999
LONGEST = {LABEL: 80, FINISH: 40}
MOST_TEXT = 500
HEADINGS_WITHIN = 30
_NOT_YET = {"?", "-", "–", "—"}
_TOTAL = re.compile(r"(sub-?|grand )?(totals?|sum)\b", re.IGNORECASE)
_CANNOT = {CANNOT, "can’t", "cannot", "can not", "n/a"}


@dataclass(frozen=True)
class Line:
    """One window as typed. `row` is its row in the sheet; `problems` maps a field to one sentence.

    `cells` holds each field's text; `cannot` the codes of measures that nobody can take.
    """

    row: int
    cells: Mapping[str, str]
    cannot: tuple[str, ...] = ()
    problems: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Schedule:
    """What was read. `understood` are (sender's heading, field's heading), `unread` the other headings.

    `own` is the column where the sender's cells end; the answers go after it.
    """

    title: str
    head_row: int
    own: int
    lines: tuple[Line, ...]
    understood: tuple[tuple[str, str], ...]
    unread: tuple[str, ...]
    notices: tuple[str, ...] = ()


@collector_paused()
def read_schedule(content: bytes, table: SizeTable) -> Schedule:
    """Read the first sheet with headings of the family. Raises WorkbookError if there is none."""
    book = open_book(content)
    sheet, head_row, found = _headings(book, table)
    by_column = {f.column: f for f in found}
    heads = _heading_texts(sheet, head_row)
    lines: list[Line] = []
    totals: list[Line] = []
    idle: list[int] = []
    units_row = None
    for row, cells in sheet.lines.items():
        if row <= head_row:
            continue
        known = {by_column[at]: cell for at, cell in cells.items() if at in by_column}
        if known and not lines and units_row is None and _says_units(known):
            units_row = row
            by_column |= {f.column: _in_unit(f, cell, sheet, row) for f, cell in known.items()}
        elif known:
            line = _line(row, known, table)
            (totals if _is_total(line, table) else lines).append(line)
        else:
            idle.append(row)
    if not lines:
        raise WorkbookError(
            [
                f"sheet {sheet.title}: there is no line below the headings of row {head_row}; add one."
            ]
        )
    if len(lines) > MOST_LINES:
        raise WorkbookError(
            [
                f"sheet {sheet.title}: has {len(lines):,} lines; up to {MOST_LINES:,} go at once, so "
                "split it into several workbooks."
            ]
        )
    ours = {at for at, text in heads.items() if text.casefold().startswith(OURS)}
    own = max(at for cells in sheet.lines.values() for at in cells if at not in ours)
    # A merged range is filled only in its first cell, and nothing can be written into the rest.
    merged = [area.max_col for area in book[sheet.title].merged_cells.ranges]
    theirs = {at: _shown(text) for at, text in heads.items() if at not in {*by_column, *ours}}
    seen = Seen(
        book, sheet, head_row, theirs, found, idle, [line.row for line in totals], units_row
    )
    return Schedule(
        title=sheet.title,
        head_row=head_row,
        own=max([own, *merged]),
        lines=tuple(lines),
        understood=tuple((_shown(heads[f.column]), f.field.heading) for f in found),
        unread=tuple(theirs.values()),
        notices=tuple(notices_of(seen, table)),
    )


# Nothing else beside the number: of a message's words "minus two" are two.
_COUNTED = "|".join([*COUNTS, *TENS, "dozen"])
_IN_WORDS = re.compile(rf"(?i)(?:a\s+)?(?:{_COUNTED})(?:[\s-]+(?:{_COUNTED}))?")


def read_count(text: str) -> int:
    """How many windows a line is: a whole number in figures or in words, one where nothing is said. Raises ValueError."""
    words = text.strip() or "1"
    count = whole_number(words)
    if _IN_WORDS.fullmatch(words):
        count = said_number(words)
    if count is None or not 1 <= count <= MOST_COUNT:
        raise ValueError(
            f"“{words[:40]}” is no count: type a whole number from 1 to {MOST_COUNT:,}."
        )
    return count


def _headings(book: Workbook, table: SizeTable) -> tuple[Sheet, int, list[Found]]:
    """The first row, of the first sheets and rows, that names a measure of the family."""
    fields = fields_of(table)
    lengths = {m.code for m in table.measures if m.kind == "length"}
    fullest, said = "", 1
    for worksheet in book.worksheets:
        if worksheet.sheet_state != "visible":
            continue
        sheet = filled(worksheet)
        for row in [row for row in sheet.lines if row <= HEADINGS_WITHIN]:
            texts = _heading_texts(sheet, row)
            if len(texts) > said:
                words = ", ".join(f"“{_shown(text)}”" for text in [*texts.values()][:8])
                fullest, said = f" (row {row} of sheet {sheet.title} says {words})", len(texts)
            try:
                found = find_columns(texts, fields)
            except HeadingError as error:
                raise WorkbookError([f"sheet {sheet.title}, row {row}: {error}"]) from None
            if any(f.field.code in lengths for f in found):
                return sheet, row, found
    names = ", ".join(f.title for f in fields)
    raise WorkbookError(
        [
            f"no row of headings names a measure of {table.name}{fullest}; choose the right family, or give "
            f"the columns these headings: {names}."
        ]
    )


def _heading_texts(sheet: Sheet, row: int) -> dict[int, str]:
    cells = sheet.lines[row].items()
    return {at: _plain(cell.value) for at, cell in cells if cell.kind in ("s", "inlineStr")}


def _shown(heading: str) -> str:
    return heading if len(heading) <= 80 else f"{heading[:79]}…"


def _says_units(known: Mapping[Found, Cell]) -> bool:
    """Whether a row is one of units beneath the headings: nothing else stands in the measures, and no number in
    what is beside them."""
    texts = {found: _plain(cell.value) for found, cell in known.items() if cell.kind != "n"}
    if len(texts) < len(known) or any(c.isdigit() for text in texts.values() for c in text):
        return False
    measures = {found.field: text for found, text in texts.items() if found.field.unit}
    return bool(measures) and all(unit_of(text, field_) for field_, text in measures.items())


def _in_unit(found: Found, cell: Cell, sheet: Sheet, row: int) -> Found:
    """The column with the unit beneath its heading. Raises WorkbookError where the heading says another."""
    said = unit_of(_plain(cell.value), found.field)
    if not said:
        return found
    if found.said and said != found.said:
        raise WorkbookError(
            [
                f"sheet {sheet.title}, row {row}: {said} stands beneath the heading of {found.field.heading}, which "
                f"says {found.said}; leave one of them."
            ]
        )
    return replace(found, said=said)


def _line(row: int, known: Mapping[Found, Cell], table: SizeTable) -> Line:
    cells: dict[str, str] = {}
    problems: dict[str, str] = {}
    cannot: list[str] = []
    for found, cell in known.items():
        code, name = found.field.code, found.field.heading
        if cell.kind not in ("n", "s", "inlineStr"):
            problems[code] = f"{name} {unfit(cell, 'a plain value')}"
            cells[code] = _plain(cell.value)[:LONGEST_TEXT] if cell.kind == "f" else ""
            continue
        text = _text(cell, found.unit)
        if code == LABEL:
            text = _placed(cells.get(LABEL, ""), found, text)
        cells[code] = text[:MOST_TEXT]
        if len(text) > MOST_TEXT:
            problems[code] = _too_long(found.field, len(text)) + (
                f" Its first {MOST_TEXT} are shown here, all of them stand in row {row} of the workbook."
            )
        if found.field.unit and text.casefold() in _CANNOT:
            cannot.append(code)
            cells[code] = ""
        elif text in _NOT_YET:
            cells[code] = ""
    return Line(row, cells, tuple(cannot), cell_problems(cells, cannot, table) | problems)


def _is_total(line: Line, table: SizeTable) -> bool:
    """Whether a line sums up those above it: it has no measure, and says so."""
    measured = any(line.cells.get(measure.code) for measure in table.measures)
    return not measured and _TOTAL.match(line.cells.get(LABEL, "")) is not None


def _placed(before: str, found: Found, text: str) -> str:
    """A label so far and what the next column adds: Building A, Flat 3, stairs."""
    if found.before and len(text) <= 3 and text:
        text = f"{found.before} {text}"
    return ", ".join(filter(None, (before, text)))


def cell_problems(
    cells: Mapping[str, str], cannot: Sequence[str], table: SizeTable
) -> dict[str, str]:
    """What is wrong with a line besides its measures' own spelling, which the resolver reads."""
    problems: dict[str, str] = {}
    for field_ in fields_of(table):
        long = len(cells.get(field_.code, ""))
        if long > LONGEST.get(field_.code, LONGEST_TEXT):
            problems[field_.code] = _too_long(field_, long)
    try:
        read_count(cells.get(COUNT, ""))
    except ValueError as error:
        problems[COUNT] = str(error)
    measures = [m.code for m in table.measures]
    if not cannot and not any(cells.get(code, "").strip() for code in measures):
        problems[measures[0]] = "No measure is given: type one, or leave this line out."
    return problems


def _too_long(field_: Field, long: int) -> str:
    most = LONGEST.get(field_.code, LONGEST_TEXT)
    return f"{field_.heading} is {long:,} characters long; shorten it to {most} at most."


def _text(cell: Cell, unit: str) -> str:
    """What was typed; a bare number carries the unit that its heading names."""
    if cell.kind != "n":
        text = _plain(cell.value)
        bare = text.replace(".", "", 1).replace(" ", "").replace("/", "", 1).isdecimal()
        return f"{text} {unit}" if unit and bare else text
    number = f"{exact(cell.value):f}"
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{number} {unit}".strip()


def _plain(value: Any) -> str:
    """Text on one line, without the characters that nobody sees."""
    text = unicodedata.normalize("NFC", str(getattr(value, "text", value)))
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
