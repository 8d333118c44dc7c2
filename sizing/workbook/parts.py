"""Sheet Parts: one line a part. Gives the columns, the rows in order of first appearance, and the parts."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sizing.lengths import PER_MM, Length
from sizing.table import Column, Part
from sizing.workbook.cells import Line, fold, label_of, table_lines
from sizing.workbook.family import Facts
from sizing.workbook.notes import Notes
from sizing.workbook.safe import Sheet

HEADINGS = ("weight_class", "weight_min", "weight_max", "finish", "part_number", "price")
SHORTEST = 10 * PER_MM
MOST_COLUMNS = 12


@dataclass
class Parts:
    """What the sheet says, with the line of each row's first appearance and of each part."""

    columns: tuple[Column, ...] = ()
    rows: list[tuple[Length, ...]] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    row_lines: list[Line] = field(default_factory=list)
    part_lines: list[Line] = field(default_factory=list)
    keys: tuple[str, ...] = ()
    without_number: list[Line] = field(default_factory=list)
    without_price: list[Line] = field(default_factory=list)


def read_parts(sheet: Sheet, facts: Facts, notes: Notes) -> Parts:
    heads, lines = table_lines(sheet, HEADINGS, notes)
    found = Parts()
    if not heads:
        # Measures and slips are held against the columns, which nobody knows without their headings.
        notes.stop_if_any()
    sizes: list[tuple[str, str]] = []
    fixed = False
    for key, code in heads:
        if key in HEADINGS:
            fixed = True
        elif fixed:
            notes.warning(
                f"sheet {sheet.title}",
                f"the column {code} is not one that is read; it is left out.",
            )
        else:
            sizes.append((key, code))
    if not sizes or len(sizes) > MOST_COLUMNS:
        notes.problem(
            f"sheet {sheet.title}, cell A1",
            f"{len(sizes)} columns of sizes stand before weight_class; put 1 to {MOST_COLUMNS} there, such as glass and opening.",
        )
        return found
    found.columns = tuple(Column(code, label_of(code)) for _, code in sizes)
    found.keys = tuple(key for key, _ in sizes)
    if not lines and heads:
        notes.problem(f"sheet {sheet.title}", "has no parts; add one line for each part.")
    reading = _Reading(found, facts, notes)
    for line in lines:
        if _is_aside(line):
            line.problem(
                next(iter(line.cells)),
                f"row {line.row} holds no part but words or units; delete the row, or move them to a sheet of their own.",
            )
        else:
            reading.take(line)
    return found


def _is_aside(line: Line) -> bool:
    """A note beneath the parts or a row of units: no digit in it, or words in one cell alone."""
    texts = [str(cell.value) for cell in line.cells.values()]
    if not any(char.isdigit() for text in texts for char in text):
        return True
    return len(texts) == 1 and any(char.isalpha() for char in texts[0])


class _Reading:
    """Takes the lines one after another and remembers what must not come twice."""

    def __init__(self, found: Parts, facts: Facts, notes: Notes) -> None:
        self.found, self.facts, self.notes = found, facts, notes
        self.row_of: dict[tuple[Length, ...], int] = {}
        self.line_of_cell: dict[tuple[int, str, str], int] = {}
        self.line_of_number: dict[str, int] = {}
        self.spelling: dict[str, str] = {}

    def take(self, line: Line) -> None:
        row = self._row(line)
        weight_class = self._name(line, "weight_class")
        finish = self._name(line, "finish")
        low = line.weight("weight_min", self.facts.weight_unit)
        high = line.weight("weight_max", self.facts.weight_unit)
        if low is not None and high is not None and low >= high:
            line.problem("weight_max", "is not above weight_min; correct the band.")
        number = line.text("part_number", 60)
        price = line.price("price", self.facts.currency)
        if number is None and price is not None:
            self.found.without_number.append(line)
            price = None
        if number is not None and not line.has("price"):
            self.found.without_price.append(line)
        if number is not None:
            self._once(
                self.line_of_number, number.casefold(), line, "part_number", f"part number {number}"
            )
        if row is None:
            return
        cell = (row, weight_class.casefold(), finish.casefold())
        named = " ".join(word for word in (weight_class, finish) if word)
        self._once(
            self.line_of_cell,
            cell,
            line,
            self.found.keys[0],
            f"this size{' in ' + named if named else ''}",
        )
        self.found.parts.append(Part(row, weight_class, low, high, finish, number, price))
        self.found.part_lines.append(line)

    def _row(self, line: Line) -> int | None:
        lengths = []
        for key in self.found.keys:
            line.need(key, "the size")
            length = line.length(key, self.facts.unit)
            if length is not None and length < SHORTEST:
                line.problem(
                    key,
                    f"{line.cells[key].value} {self.facts.unit} is shorter than 10 mm; is it in the family's unit?",
                )
            lengths.append(length)
        if any(length is None for length in lengths):
            return None
        row = tuple(length for length in lengths if length is not None)
        if row not in self.row_of:
            self.row_of[row] = len(self.found.rows)
            self.found.rows.append(row)
            self.found.row_lines.append(line)
        return self.row_of[row]

    def _name(self, line: Line, key: str) -> str:
        """A class or finish, spelt as it was the first time."""
        words = line.text(key, 40) or ""
        return self.spelling.setdefault(f"{key} {fold(words)}", words)

    def _once(self, seen: dict[Any, int], key: object, line: Line, at: str, what: str) -> None:
        first = seen.setdefault(key, line.row)
        if first != line.row:
            line.problem(
                at, f"{what} stands already in row {first}; correct or delete one of them."
            )
