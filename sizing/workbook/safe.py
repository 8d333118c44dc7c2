"""Opens a file that anybody may have sent: first as a zip directory, then as a workbook, then as cells.

Nothing is unpacked before its declared size is known to be bearable. `zipfile` never yields more than
the directory declares, so the declared sizes can be trusted as upper bounds.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path

import openpyxl
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from sizing.workbook.bulk import MOST_CELLS, Hidden, Weight
from sizing.workbook.notes import Notes, WorkbookError

MOST_FILE_BYTES = 5_000_000
MOST_UNPACKED_BYTES = 40_000_000
MOST_MEMBERS = 500
READ_SHEETS = ("Family", "Measures", "Slips", "Parts", "Fit", "Words")

if not openpyxl.DEFUSEDXML:
    raise ImportError("openpyxl must find defusedxml: workbooks come from outside")


@dataclass(frozen=True)
class Cell:
    """One filled cell. `kind` is openpyxl's: n number, s text, f formula, d date, b yes/no, e error."""

    where: str
    value: object
    kind: str
    shown_as: str = "General"


@dataclass(frozen=True)
class Sheet:
    """The filled cells of one sheet: {row number: {column number: Cell}}, rows in order."""

    title: str
    lines: dict[int, dict[int, Cell]]

    def where(self, row: int, column: int) -> str:
        return place(self.title, row, column)


def place(title: str, row: int, column: int) -> str:
    return f"sheet {title}, cell {get_column_letter(column)}{row}"


def open_book(source: str | Path | bytes) -> openpyxl.Workbook:
    """The whole workbook, formulas as formulas, for a reader that also writes it back. Raises WorkbookError."""
    content = _content(source)
    _check_archive(content)
    return _load(content)


def filled(sheet: Worksheet) -> Sheet:
    """The filled cells of a sheet under its own title."""
    return Sheet(sheet.title, _lines(sheet.title, sheet))


def open_sheets(source: str | Path | bytes, notes: Notes) -> dict[str, Sheet]:
    """The sheets that are read, by their name in READ_SHEETS; spaces and case in a title don't matter.

    Hidden or merged parts become problems in `notes`; a file that can't be read at all raises WorkbookError.
    """
    book = open_book(source)
    known = {name.lower(): name for name in READ_SHEETS}
    found: dict[str, Sheet] = {}
    for sheet in book.worksheets:
        name = known.get(sheet.title.strip().lower())
        if sheet.sheet_state != "visible":
            notes.problem(f"sheet {sheet.title}", "is hidden; show it or delete it.")
        if name is None:
            notes.warning(f"sheet {sheet.title}", "is not one that is read; it is left out.")
        elif name in found:
            notes.problem(f"sheet {sheet.title}", f"stands twice as {name}; keep one of them.")
        else:
            found[name] = Sheet(name, _lines(name, sheet))
            _check_visible(name, sheet, found[name], notes)
    return found


def _content(source: str | Path | bytes) -> bytes:
    if isinstance(source, bytes):
        content = source
    else:
        path = Path(source)
        try:
            if path.stat().st_size > MOST_FILE_BYTES:
                raise WorkbookError([_too_large()])
            content = path.read_bytes()
        except OSError as error:
            raise WorkbookError(
                [f"the file can't be read ({error.strerror}); check its name and place."]
            ) from None
    if len(content) > MOST_FILE_BYTES:
        raise WorkbookError([_too_large()])
    return content


def _too_large() -> str:
    return f"the file is larger than {MOST_FILE_BYTES // 1_000_000} MB; leave out pictures and other sheets."


def _check_archive(content: bytes) -> None:
    if content.startswith(b"\xd0\xcf\x11\xe0"):
        raise WorkbookError(
            [
                "the file is an old .xls workbook or locked with a password; save it as .xlsx without a password."
            ]
        )
    if not content.startswith(b"PK"):
        raise WorkbookError(
            [
                "the file is no .xlsx workbook (perhaps text or CSV under that name); open it and save it as .xlsx."
            ]
        )
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            _check_members(archive)
    except WorkbookError:
        raise
    except (zipfile.BadZipFile, zlib.error, OSError, EOFError, ValueError):
        raise WorkbookError([_DAMAGED]) from None
    except (NotImplementedError, RuntimeError):
        raise WorkbookError(
            ["the file is packed or locked in a way that can't be read; save it again as .xlsx."]
        ) from None


_XML = re.compile(rb"[\xef\xbb\xbf\xff\xfe\x00\s]*<")
_DAMAGED = "the file is damaged or no .xlsx workbook; open it and save it again as .xlsx."
_UNPACKS_TOO_LARGE = f"the file unpacks to more than {MOST_UNPACKED_BYTES // 1_000_000} MB or {MOST_CELLS:,} cells, or is full of formats; copy only the filled cells into a new workbook."


def _check_members(archive: zipfile.ZipFile) -> None:
    members = archive.infolist()
    names = {member.filename for member in members}
    if "[Content_Types].xml" not in names or not any(name.startswith("xl/") for name in names):
        raise WorkbookError([_DAMAGED])
    unpacked = sum(member.file_size for member in members)
    if len(members) > MOST_MEMBERS or unpacked > MOST_UNPACKED_BYTES:
        raise WorkbookError([_UNPACKS_TOO_LARGE])
    weight = Weight()
    for member in members:
        content = archive.read(member)
        # By content and not by name: a sheet may lie under any name in the archive.
        if _XML.match(content):
            _weigh(weight, content)


def _weigh(weight: Weight, xml: bytes) -> None:
    try:
        weight.add(xml)
    except Hidden:
        raise WorkbookError([_DAMAGED]) from None
    if weight.is_too_much:
        raise WorkbookError([_UNPACKS_TOO_LARGE])


def _load(content: bytes) -> openpyxl.Workbook:
    try:
        with warnings.catch_warnings():
            # openpyxl warns of what it leaves out (pictures, validation); none of it is read here.
            warnings.simplefilter("ignore")
            return openpyxl.load_workbook(io.BytesIO(content), keep_links=False)
    except Exception:
        # openpyxl raises whatever its parts raise on a malformed file; all of it means the same here.
        raise WorkbookError([_DAMAGED]) from None


def _lines(title: str, sheet: Worksheet) -> dict[int, dict[int, Cell]]:
    lines: dict[int, dict[int, Cell]] = {}
    # The sparse store: walking the declared dimensions could mean a million empty rows.
    for (row, column), cell in sorted(sheet._cells.items()):
        value = cell.value
        if value is None or (isinstance(value, str) and not value.strip()):
            continue
        kind, shown_as = cell.data_type, "General"
        # Only numbers can be shown as something else; asking every cell for its format is slow.
        if kind in ("n", "d"):
            kind, shown_as = ("d" if cell.is_date else "n"), cell.number_format
        lines.setdefault(row, {})[column] = Cell(place(title, row, column), value, kind, shown_as)
    return lines


def _check_visible(title: str, sheet: Worksheet, read: Sheet, notes: Notes) -> None:
    in_order = sorted(sheet.merged_cells.ranges, key=lambda r: (r.min_row, r.min_col))
    for merged in in_order:
        notes.problem(
            f"sheet {title}, cell {get_column_letter(merged.min_col)}{merged.min_row}",
            f"the cells {merged.coord} are merged; split them and fill in each one.",
        )
    for row in read.lines:
        shape = sheet.row_dimensions.get(row)
        if shape is not None and (shape.hidden or shape.ht == 0):
            first = min(read.lines[row])
            notes.problem(
                read.where(row, first), f"row {row} is hidden; show it, or delete it if it is old."
            )
    filled = {column for line in read.lines.values() for column in line}
    for shape in sheet.column_dimensions.values():
        if not (shape.hidden or shape.width == 0):
            continue
        low = shape.min or 0
        for column in sorted(c for c in filled if low <= c <= (shape.max or low)):
            letter = get_column_letter(column)
            notes.problem(
                f"sheet {title}, cell {letter}1",
                f"column {letter} is hidden; show it, or delete it if it is old.",
            )
