"""SizeTable -> workbook, so that reading it again gives an equal table."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.worksheet.worksheet import Worksheet

from sizing import weights
from sizing.lengths import PER_INCH, PER_MM, Length, Unit
from sizing.table import SizeTable
from sizing.weights import Weight
from sizing.workbook.measuring import FIT, MEASURES, SLIPS, WORDS
from sizing.workbook.parts import HEADINGS

Value = str | int | float | Decimal | None


def workbook_bytes(table: SizeTable) -> bytes:
    """The workbook as the content of an .xlsx file."""
    book = Workbook()
    book.properties.creator = "Sashdesk"
    family = book.active
    family.title = "Family"
    _fill(family, ("key", "value"), _family(table))
    _fill(book.create_sheet("Measures"), MEASURES, _measures(table))
    _fill(book.create_sheet("Slips"), SLIPS, _slips(table))
    columns = [column.code for column in table.columns]
    _fill(book.create_sheet("Parts"), (*columns, *HEADINGS), _parts(table))
    if table.fit:
        _fill(
            book.create_sheet("Fit"),
            FIT,
            ((f.question, f.answer_that_fits, f.otherwise) for f in table.fit),
        )
    if table.words:
        said = ((text, language, words) for language, text, words in table.words)
        _fill(book.create_sheet("Words"), WORDS, said)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def write_workbook(table: SizeTable, path: str | Path) -> None:
    """Writes the file in one go: an old one stays whole until the new one is complete."""
    target = Path(path)
    draft = target.with_name(f".{target.name}.part")
    try:
        draft.write_bytes(workbook_bytes(table))
        draft.replace(target)
    finally:
        draft.unlink(missing_ok=True)


def _family(table: SizeTable) -> Iterable[tuple[Value, ...]]:
    yield "code", table.code
    yield "name", table.name
    yield "factory", table.factory
    yield "length_unit", table.unit.value
    yield "weight_unit", table.weight_unit.value
    yield "currency", table.currency
    yield "lead_weeks_min", table.lead_weeks_min
    yield "lead_weeks_max", table.lead_weeks_max
    yield "sold_as", table.sold_as
    if not table.carries_sash:
        yield "carries_sash", "no"
    if table.girth is not None:
        yield "girth", _length(table.girth, table.unit)
    if table.linear_weight is not None:
        yield "linear_weight", weights.to_decimal(table.linear_weight, table.weight_unit)


def _measures(table: SizeTable) -> Iterable[tuple[Value, ...]]:
    for m in table.measures:
        error = (
            _length(Length(m.tolerance), table.unit)
            if m.kind == "length"
            else weights.to_decimal(Weight(m.tolerance), table.weight_unit)
        )
        yield m.code, m.label, m.column, m.kind, error, m.how_to


def _slips(table: SizeTable) -> Iterable[tuple[Value, ...]]:
    for s in table.slips:
        yield (
            s.measure,
            s.name,
            _length(s.shift_min, table.unit),
            _length(s.shift_max, table.unit),
            s.share,
        )


def _parts(table: SizeTable) -> Iterable[tuple[Value, ...]]:
    for p in table.parts:
        sizes = [_length(length, table.unit) for length in table.rows[p.row]]
        low, high = (
            None if w is None else weights.to_decimal(w, table.weight_unit)
            for w in (p.weight_min, p.weight_max)
        )
        yield *sizes, p.weight_class, low, high, p.finish, p.part_number, p.price


def _length(length: Length, unit: Unit) -> Decimal:
    """The shortest decimal that reads back as this length."""
    per = PER_INCH if unit is Unit.INCH else PER_MM
    for places in range(7):
        number = round(Decimal(length) / per, places)
        if round(number * per) == length:
            return number
    raise AssertionError(f"{length} has no six-place decimal in {unit}")


def _fill(sheet: Worksheet, headings: Sequence[str], lines: Iterable[Sequence[Value]]) -> None:
    for row, line in enumerate([headings, *lines], start=1):
        for column, value in enumerate(line, start=1):
            if value is None or value == "":
                continue
            cell = sheet.cell(row, column)
            if isinstance(value, str):
                # As text whatever it begins with: a part number "=7" must not become a formula.
                cell.value = value
                cell.data_type = "s"
                cell.number_format = "@"
            else:
                cell.value = value
            if row == 1:
                cell.font = Font(bold=True)
    for column, heading in enumerate(headings, start=1):
        wide = heading in (
            "how_to",
            "question",
            "otherwise",
            "name",
            "value",
            "answer that fits",
            "text",
            "words",
        )
        sheet.column_dimensions[sheet.cell(1, column).column_letter].width = 48 if wide else 16
    sheet.freeze_panes = "A2"
