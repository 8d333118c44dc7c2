"""One line of a sheet, its cells under their headings, each read as what belongs there.

Each method gives the value, or None after noting the problem; a blank cell is None without a problem
unless the method says otherwise.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from sizing import weights
from sizing.lengths import Length, LengthError, Unit, from_number, parse_length, perhaps_mm
from sizing.prices import MOST_PRICE, is_sign_of, minor_units, without_sign
from sizing.weights import Weight, WeightUnit
from sizing.workbook.notes import Notes
from sizing.workbook.safe import Cell, Sheet, place


def fold(text: str) -> str:
    """How headings and codes are compared: case, spaces, hyphens and underscores don't matter."""
    return "_".join(text.casefold().replace("-", " ").replace("_", " ").split())


def label_of(code: str) -> str:
    """long_point -> Long point."""
    words = " ".join(code.replace("_", " ").split())
    return words[:1].upper() + words[1:]


def code_of(text: str) -> str:
    return "_".join(text.split())


@dataclass(frozen=True)
class Line:
    title: str
    row: int
    cells: dict[str, Cell]
    columns: dict[str, int]
    notes: Notes

    def where(self, key: str) -> str:
        cell = self.cells.get(key)
        return cell.where if cell else place(self.title, self.row, self.columns[key])

    def problem(self, key: str, words: str) -> None:
        self.notes.problem(self.where(key), words)

    def has(self, key: str) -> bool:
        return key in self.cells

    def need(self, key: str, what: str) -> None:
        """Notes a problem if the cell is blank."""
        if not self.has(key):
            self.problem(key, f"is blank; fill in {what}.")

    def text(self, key: str, most: int) -> str | None:
        """Plain words of at most `most` characters; a whole number stands for its digits."""
        cell = self._plain(key, "text")
        if cell is None:
            return None
        if cell.kind == "n":
            return self._digits(key, cell)
        words = " ".join(unicodedata.normalize("NFC", str(cell.value)).split())
        odd = next((c for c in words if unicodedata.category(c) in _INVISIBLE), None)
        if odd is not None:
            name = unicodedata.name(odd, "control character").lower()
            return self._refuse(
                key, f"has an invisible character ({name}, U+{ord(odd):04X}); type the text again."
            )
        if len(words) > most:
            return self._refuse(
                key, f"is {len(words)} characters long; shorten it to {most} at most."
            )
        return words

    def _digits(self, key: str, cell: Cell) -> str | None:
        number = exact(cell.value)
        if cell.shown_as not in _PLAIN_FORMATS or abs(number) >= 10**15:
            return self._refuse(
                key,
                "is a number shown in another form; format the cell as text and type it as it should read.",
            )
        return f"{number.normalize():f}"

    def number(self, key: str) -> Decimal | None:
        cell = self._plain(key, "a number")
        return None if cell is None else self._number(key, cell.value)

    def _number(self, key: str, value: object) -> Decimal | None:
        try:
            number = exact(value)
        except InvalidOperation:
            number = Decimal("NaN")
        if not number.is_finite() or abs(number) >= 10**15:
            return self._refuse(
                key, f"{_shown(value)} is no number; type it as a plain number such as 12.5."
            )
        return number

    def whole(self, key: str, low: int, high: int) -> int | None:
        number = self.number(key)
        if number is None:
            return None
        if number != int(number) or not low <= number <= high:
            return self._refuse(
                key, f"{number:f} is not a whole number from {low} to {high}; correct it."
            )
        return int(number)

    def length(self, key: str, unit: Unit, signed: bool = False) -> Length | None:
        """A length above zero, or (signed) a shift to either side. A bare number is in `unit`."""
        cell = self._plain(key, "a size")
        if cell is None:
            return None
        try:
            if cell.kind == "n":
                length = from_number(exact(cell.value), unit)
            else:
                length = _typed(str(cell.value).strip(), unit, signed)
        except LengthError as error:
            mm = cell.kind == "n" and perhaps_mm(exact(cell.value), unit)
            more = " If all sizes are, type mm as length_unit in sheet Family." if mm else ""
            return self._refuse(key, f"{error}{more}")
        if not signed and length <= 0:
            return self._refuse(key, f"{cell.value} is no size above zero; type the size.")
        return length

    def weight(self, key: str, unit: WeightUnit) -> Weight | None:
        """A weight, zero or more. A bare number is in `unit`."""
        cell = self._plain(key, "a weight")
        if cell is None:
            return None
        try:
            if cell.kind == "n":
                weight = weights.from_number(exact(cell.value), unit)
            else:
                weight = weights.parse_weight(str(cell.value).strip(), unit)
        except weights.WeightError as error:
            return self._refuse(key, str(error))
        if weight < 0:
            return self._refuse(key, f"{cell.value} is below zero; type the weight.")
        return weight

    def price(self, key: str, currency: str) -> Decimal | None:
        """A price in the currency, typed with its sign or without."""
        cell = self._plain(key, "a number")
        if cell is None:
            return None
        value, sign = (cell.value, "") if cell.kind == "n" else without_sign(str(cell.value))
        if sign and not is_sign_of(sign, currency):
            return self._refuse(
                key,
                f"{_shown(cell.value)} is not in {currency}, as sheet Family says; type the price in {currency} "
                "without a sign, or correct the currency there.",
            )
        number = self._number(key, value)
        if number is None:
            return None
        places = minor_units(currency)
        if number < 0:
            return self._refuse(key, f"{number:f} is below zero; type the price.")
        if number >= MOST_PRICE:
            return self._refuse(key, f"{number:f} is too large for a price; correct it.")
        price = number.quantize(Decimal(1).scaleb(-places))
        if price != number:
            return self._refuse(
                key, f"{number:f} has more than the {places} decimals of {currency}; round it."
            )
        return price

    def choice(self, key: str, options: Iterable[str]) -> str | None:
        words = self.text(key, 40)
        if words is None:
            return None
        options = tuple(options)
        found = next((option for option in options if option.casefold() == words.casefold()), None)
        if found is None:
            return self._refuse(key, f"“{words}” is not known; type {' or '.join(options)}.")
        return found

    def _plain(self, key: str, wanted: str) -> Cell | None:
        """The cell if it holds a number or text that was typed."""
        cell = self.cells.get(key)
        if cell is None or cell.kind in ("n", "s", "inlineStr"):
            return cell
        self.problem(key, unfit(cell, wanted))
        return None

    def _refuse(self, key: str, words: str) -> None:
        self.problem(key, words)


# How far below the first filled row the headings are looked for.
MOST_TITLE_LINES = 10
_INVISIBLE = ("Cc", "Cf", "Cs", "Co", "Cn")
_PLAIN_FORMATS = ("General", "0", "@")


def exact(value: object) -> Decimal:
    """A cell's number without the noise of its binary float: a workbook keeps 15 digits."""
    if isinstance(value, float):
        return Decimal(f"{value:.15g}")
    return Decimal(str(value).strip())


def _typed(text: str, unit: Unit, signed: bool) -> Length:
    if signed and text[:1] in ("-", "−", "+"):
        length = parse_length(text[1:], unit)
        return length if text[0] == "+" else Length(-length)
    if signed and not text.strip("0."):
        return Length(0)
    return parse_length(text, unit)


def _shown(value: object) -> str:
    text = str(value)
    return f"“{text[:40]}…”" if len(text) > 40 else f"“{text}”"


def unfit(cell: Cell, wanted: str) -> str:
    """What is wrong with a cell that holds neither a number nor text, without its place."""
    if cell.kind == "f":
        formula = getattr(cell.value, "text", None) or cell.value
        return f"holds the formula {_shown(formula)} where {wanted} belongs; put its value there (copy, paste values)."
    if cell.kind == "d":
        day = (
            f"{cell.value:%Y-%m-%d}"
            if isinstance(cell.value, date | datetime)
            else _shown(cell.value)
        )
        return f"holds a date or time ({day}) where {wanted} belongs; format the cell as text and type it again."
    if cell.kind == "b":
        return (
            f"holds {str(cell.value).upper()} where {wanted} belongs; type what should stand there."
        )
    return f"holds the error {cell.value} where {wanted} belongs; type what should stand there."


def table_lines(
    sheet: Sheet,
    needed: tuple[str, ...],
    notes: Notes,
    aliases: Mapping[str, str] = MappingProxyType({}),
) -> tuple[list[tuple[str, str]], list[Line]]:
    """A sheet with headings in its first filled row: [(folded heading, heading)], and the lines below.

    Where a heading is missing there are no lines: what stands in them would be called wrong for its sake.
    """
    if not sheet.lines:
        notes.problem(
            f"sheet {sheet.title}", f"is empty; its first row has the headings {', '.join(needed)}."
        )
        return [], []
    top, *below = sheet.lines
    lower = _headings_below(sheet, needed, aliases)
    if lower is not None:
        notes.problem(
            f"sheet {sheet.title}, row {top}",
            f"no headings stand here but in row {lower}; delete what is above that row.",
        )
        return [], []
    heads, columns = _headings(sheet, top, notes, aliases)
    if missing := [heading for heading in needed if fold(heading) not in columns]:
        read = {fold(heading) for heading in needed}
        others = [code.replace("_", " ") for key, code in heads if key not in read]
        besides = f", or give that name to its column (row {top} also has {', '.join(others)})"
        for heading in missing:
            notes.problem(
                f"sheet {sheet.title}, row {top}",
                f"the heading {heading} is missing; add its column{besides if others else ''}.",
            )
        return [], []
    return heads, _lines_below(sheet, top, below, columns, notes)


def _lines_below(
    sheet: Sheet, top: int, below: list[int], columns: dict[str, int], notes: Notes
) -> list[Line]:
    """The lines below the headings of row `top`, each with its cells under a heading; others are named."""
    by_column = {column: key for key, column in columns.items()}
    lines = []
    for row in below:
        cells: dict[str, Cell] = {}
        for column, cell in sheet.lines[row].items():
            if column in by_column:
                cells[by_column[column]] = cell
            elif column not in sheet.lines[top]:
                notes.problem(
                    cell.where, "stands under no heading; give the column one or clear the cell."
                )
        if cells:
            lines.append(Line(sheet.title, row, cells, columns, notes))
    return lines


def _headings_below(
    sheet: Sheet, needed: tuple[str, ...], aliases: Mapping[str, str]
) -> int | None:
    """The row that has more of the headings than the first one has, as under a title; None if there is none."""

    def known(row: int) -> int:
        words = {fold(str(cell.value)) for cell in sheet.lines[row].values()}
        return len({aliases.get(word, word) for word in words} & {fold(h) for h in needed})

    first, *others = list(sheet.lines)[:MOST_TITLE_LINES]
    most = max(others, key=known, default=first)
    return most if known(most) > max(known(first), 1) else None


def _headings(
    sheet: Sheet, top: int, notes: Notes, aliases: Mapping[str, str]
) -> tuple[list[tuple[str, str]], dict[str, int]]:
    heads: list[tuple[str, str]] = []
    columns: dict[str, int] = {}
    for column, cell in sheet.lines[top].items():
        heading = Line(sheet.title, top, {"": cell}, {"": column}, notes).text("", 40)
        if heading is None:
            continue
        key = aliases.get(fold(heading), fold(heading))
        if key in columns:
            notes.problem(cell.where, f"the heading {heading} stands twice; keep one of them.")
            continue
        heads.append((key, code_of(heading)))
        columns[key] = column
    return heads, columns
