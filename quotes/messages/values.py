"""What an amount is worth for a measure: the unit when none was said, and whether it can be."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from quotes.messages.amounts import WEIGHT_UNITS, Amount, length_of, weight_of
from quotes.messages.figures import TAPE
from quotes.messages.scan import Token
from sizing import lengths, weights
from sizing.lengths import Length, Unit
from sizing.table import SizeTable

_METRIC = ("mm", "cm", "m")
_DECLARED = {
    "mm": "mm", "millimetres": "mm", "millimeters": "mm", "millimetre": "mm", "millimeter": "mm",
    "cm": "cm", "centimetres": "cm", "centimeters": "cm", "centimetre": "cm", "centimeter": "cm",
    "inches": "in", "inch": "in",
}  # fmt: skip


class Bounds(NamedTuple):
    smallest: Length
    largest: Length


class Values:
    """Reads amounts for the measures of one family, with what the whole message says of units."""

    def __init__(self, table: SizeTable, tokens: list[Token], amounts: Iterable[Amount]) -> None:
        self.table = table
        self.bounds = _bounds(table)
        self.declared = _declared(tokens, {i for a in amounts for i in range(a.first, a.last)})
        self.said = {a.unit for a in amounts if a.unit and a.unit not in WEIGHT_UNITS}

    def of(self, amount: Amount, code: str, loose: bool = True) -> Decimal | None:
        """The decimal number of the family's unit that an amount means as this measure, or None.

        `loose` allows what lies well off the table; else only what lies near its rows.
        """
        measure = self.table.measure(code)
        if measure is None:
            return None
        if measure.kind == "weight":
            if amount.kind == "length" and amount.unit:
                return None
            weight = weight_of(amount, self.table.weight_unit)
            return None if weight is None else weights.to_decimal(weight, self.table.weight_unit)
        if amount.kind == "weight":
            return None
        length = self._length(amount, code)
        if length is None or not self._fits(length, code, loose):
            return None
        if not self._fits(length, code, False) and self._fits_other(length, code):
            return None  # far off the rows of this measure and among those of another
        return lengths.to_decimal(length, self.table.unit)

    def could_be(self, amount: Amount) -> bool:
        """Whether an amount looks like a length at all: it says so, or lies near some row."""
        if amount.kind != "integer":
            above, _, below = amount.said.partition("/")
            if not (above.isdecimal() and below.isdecimal()):
                return True
            return not (int(above) < 13 and int(below) not in TAPE)  # 10/12: a day or a month
        if amount.spelled and amount.value < 13:
            return False
        units = {self.table.unit, *(["mm"] if self.said & set(_METRIC) or self.declared else [])}
        for code in self.bounds:
            for unit in units:
                length = length_of(amount, Unit(unit))
                if length is not None and self._fits(length, code, False):
                    return True
        return False

    def _length(self, amount: Amount, code: str) -> Length | None:
        unit = self.table.unit
        if amount.unit:
            return length_of(amount, unit)
        fraction = "/" in amount.said
        if self.declared:
            return _in(amount, "in" if fraction else self.declared)
        if fraction:
            if unit is Unit.MM and self.said and self.said <= {"in", "ft"}:
                return _in(amount, "in")
            return length_of(amount, unit)
        read = [
            _in(amount, name) for name in dict.fromkeys([str(unit), *sorted(self.said - {"ft"})])
        ]
        fits = {length for length in read if length is not None and self._fits(length, code, False)}
        if len(fits) == 1:
            return fits.pop()
        return read[0] if not fits and self.said <= {str(unit), "ft"} else None

    def _fits_other(self, length: Length, code: str) -> bool:
        return any(
            other != code and bounds.smallest <= length <= bounds.largest
            for other, bounds in self.bounds.items()
        )

    def _fits(self, length: Length, code: str, loose: bool) -> bool:
        bounds = self.bounds.get(code)
        if bounds is None:
            return True
        low, high = (3 / 2, 2) if loose else (4 / 3, 4 / 3)
        return bounds.smallest / low <= length <= bounds.largest * high


def could_count(amount: Amount) -> bool:
    """Whether a whole number of which nothing is said may say how many: ash, 2. One is what is taken anyhow; of
    fifty and more it is sooner an age, a house or a year."""
    return amount.kind == "integer" and 1 < amount.value < 50


def tiny(table: SizeTable) -> int:
    """The largest whole number of the family's unit that is far too small for any of its rows."""
    smallest = min((length for row in table.rows for length in row), default=Length(0))
    return int(lengths.to_fraction(smallest, table.unit) / 3)


def _bounds(table: SizeTable) -> dict[str, Bounds]:
    found: dict[str, Bounds] = {}
    for measure in table.measures:
        if measure.column and table.rows:
            at = table.column_index(measure.column)
            column = [row[at] for row in table.rows]
            found[measure.code] = Bounds(min(column), max(column))
    return found


def _declared(tokens: list[Token], taken: set[int]) -> str | None:
    """The unit that a message names for all its numbers (all in mm), if it names just one."""
    named = {
        _DECLARED[token.text]
        for at, token in enumerate(tokens)
        if token.text in _DECLARED and at not in taken
    }
    return named.pop() if len(named) == 1 else None


def _in(amount: Amount, unit: str) -> Length | None:
    said = Amount(
        amount.kind, f"{amount.said} {unit}", amount.value, unit, amount.first, amount.last,
        amount.start, amount.end,
    )  # fmt: skip
    return length_of(said, Unit.INCH)
