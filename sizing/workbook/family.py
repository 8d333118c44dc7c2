"""Sheet Family: what holds for the whole table, one key a line."""

from __future__ import annotations

from dataclasses import dataclass

from sizing.lengths import Length, Unit
from sizing.prices import no_money
from sizing.table import MOST_WEEKS
from sizing.weights import Weight, WeightUnit
from sizing.workbook.cells import Line, fold
from sizing.workbook.notes import Notes
from sizing.workbook.safe import Sheet

_NEEDED = {
    "code": "a short name such as otter-liner",
    "name": "the family's full name",
    "factory": "the factory's name",
    "length_unit": "in or mm",
    "currency": "a currency code such as USD",
    "lead_weeks_min": "the shortest lead time in weeks",
    "lead_weeks_max": "the longest lead time in weeks",
}
_OPTIONAL = ("weight_unit", "sold_as", "carries_sash", "girth", "linear_weight")
KEYS = (*_NEEDED, *_OPTIONAL)


@dataclass(frozen=True)
class Facts:
    """The fields of SizeTable that the sheet Family gives, under the same names."""

    code: str
    name: str
    factory: str
    unit: Unit
    weight_unit: WeightUnit
    currency: str
    lead_weeks_min: int
    lead_weeks_max: int
    sold_as: str
    carries_sash: bool
    girth: Length | None
    linear_weight: Weight | None


def read_facts(sheet: Sheet, notes: Notes) -> Facts:
    """Raises WorkbookError (through `notes`) when a fact is missing or wrong."""
    line = _as_line(sheet, notes)
    for key, what in _NEEDED.items():
        if key not in line.columns:
            notes.problem(
                "sheet Family", f"the key {key} is missing; add a line {key} with {what}."
            )
        else:
            line.need(key, what)
    notes.stop_if_any()

    code = line.text("code", 40)
    if code and not all(c.isalnum() or c in " ._-" for c in code):
        line.problem(
            "code", f"“{code}” may have only letters, digits, spaces, dots and hyphens; change it."
        )
    name, factory = line.text("name", 120), line.text("factory", 120)
    unit = line.choice("length_unit", Unit)
    weight_unit = line.choice("weight_unit", WeightUnit)
    if weight_unit is None:
        weight_unit = "kg" if unit == "mm" else "lb"
    currency = (line.text("currency", 40) or "").upper()
    if currency and (trouble := no_money(currency)):
        line.problem("currency", trouble)
    least = line.whole("lead_weeks_min", 0, MOST_WEEKS)
    most = line.whole("lead_weeks_max", 0, MOST_WEEKS)
    if least is not None and most is not None and least > most:
        line.problem(
            "lead_weeks_max", f"{most} weeks are fewer than lead_weeks_min, {least}; exchange them."
        )
    sold_as = line.choice("sold_as", ("piece", "pair")) or "piece"
    carries_sash = line.choice("carries_sash", ("yes", "no")) != "no"
    # A wrong unit is in `notes` by now; reading on with the other one only serves to find more.
    length_unit, scale = Unit(unit or "in"), WeightUnit(weight_unit)
    girth = line.length("girth", length_unit)
    linear_weight = line.weight("linear_weight", scale)
    notes.stop_if_any()
    return Facts(
        str(code), str(name), str(factory), length_unit, scale, currency,
        int(least or 0), int(most or 0), sold_as, carries_sash, girth, linear_weight,
    )  # fmt: skip


def _as_line(sheet: Sheet, notes: Notes) -> Line:
    """The sheet's values under their keys, as if they were one line of a table."""
    values = {}
    columns = {}
    rows: dict[str, int] = {}
    for row, cells in sheet.lines.items():
        if 1 not in cells:
            first = next(iter(cells.values()))
            notes.problem(
                first.where, "has no key beside it in column A; type the key or clear the cell."
            )
            continue
        heading = Line(sheet.title, row, {"": cells[1]}, {"": 1}, notes).text("", 40)
        key = fold(heading or "")
        if key == "key" or heading is None:
            continue
        if key in rows:
            notes.problem(
                cells[1].where,
                f"the key {heading} stands twice (also in row {rows[key]}); keep one.",
            )
        elif key not in KEYS:
            notes.warning(
                cells[1].where, f"the key {heading} is not one that is read; it is left out."
            )
        rows[key] = row
        columns[key] = 2
        if 2 in cells:
            values[key] = cells[2]
    return _FamilyLine(sheet.title, 0, values, columns, notes, rows)


@dataclass(frozen=True)
class _FamilyLine(Line):
    rows: dict[str, int]

    def where(self, key: str) -> str:
        return f"sheet {self.title}, cell B{self.rows[key]}"
