"""What only the whole table shows: rows that don't rise together, bands that leave a gap or overlap."""

from __future__ import annotations

from itertools import pairwise

from sizing.lengths import PER_INCH, PER_MM, Length, Unit, format_length
from sizing.table import Part
from sizing.weights import Weight, format_weight
from sizing.workbook.family import Facts
from sizing.workbook.notes import Notes
from sizing.workbook.parts import Parts


def check_rise(parts: Parts, facts: Facts) -> None:
    """Sorted by the first column, every column must rise from row to row."""
    order = sorted(range(len(parts.rows)), key=parts.rows.__getitem__)
    for before, after in pairwise(order):
        for column, (low, high) in enumerate(
            zip(parts.rows[before], parts.rows[after], strict=True)
        ):
            if high > low:
                continue
            label = parts.columns[column].label.lower()
            first = parts.columns[0].label.lower()
            sizes = [
                _size(parts.rows[row][at], facts) for row in (before, after) for at in (column, 0)
            ]
            words = (
                f"{label} {sizes[2]} stands already in row {parts.row_lines[before].row} with other sizes; correct one of them."
                if column == 0
                else f"{label} is {sizes[2]} at {first} {sizes[3]}, but {sizes[0]} at the smaller {sizes[1]} "
                f"(row {parts.row_lines[before].row}); all sizes must rise together, so correct one of them."
            )
            parts.row_lines[after].problem(parts.keys[column], words)
            break


# All sizes of a table under the one or over the other put its unit in doubt: the desk's own bounds, no source.
SHORT_MM, LONG_INCHES = 150, 160


def check_unit(parts: Parts, facts: Facts, notes: Notes) -> None:
    """Inches in a table that says mm, or the other way round, pass every other check: a warning asks."""
    lengths = [length for row in parts.rows for length in row]
    if not lengths:
        return
    longest, shortest = max(lengths), min(lengths)
    size = None
    if facts.unit is Unit.MM and longest < SHORT_MM * PER_MM:
        size, other = f"the longest size is {_size(longest, facts)} mm", "inches"
    elif facts.unit is Unit.INCH and shortest > LONG_INCHES * PER_INCH:
        size, other = f"the shortest size is {_size(shortest, facts)} in", "millimetres"
    if size:
        notes.warning(
            "sheet Parts", f"{size}; if these are {other}, correct length_unit on the sheet Family."
        )


def check_bands(parts: Parts, facts: Facts, notes: Notes) -> None:
    """One band for each class of a row (else a problem); gaps and overlaps between classes are warnings."""
    bands: dict[int, dict[str, tuple[Part, int]]] = {}
    for at, part in enumerate(parts.parts):
        of_row = bands.setdefault(part.row, {})
        first, line = of_row.setdefault(part.weight_class, (part, at))
        for key in ("weight_min", "weight_max"):
            here, there = getattr(part, key), getattr(first, key)
            if here != there:
                parts.part_lines[at].problem(
                    key,
                    f"is {_weight(here, facts)}, but {_weight(there, facts)} in row {parts.part_lines[line].row} "
                    f"for the same size and class {part.weight_class or '(blank)'}; a class has one band for a size.",
                )
    found: dict[tuple[str, str, str], list[tuple[Part, Part, int]]] = {}
    for of_row in bands.values():
        in_order = sorted(of_row.values(), key=lambda band: band[0].weight_min or 0)
        for (low, _), (high, at) in pairwise(in_order):
            kind = _between(low, high)
            if kind:
                found.setdefault((kind, low.weight_class, high.weight_class), []).append(
                    (low, high, at)
                )
    for (kind, *_), cases in found.items():
        low, high, at = cases[0]
        size = _size(parts.rows[low.row][0], facts)
        more = f" (and at {_count(len(cases) - 1, 'more size')})" if len(cases) > 1 else ""
        notes.warning(
            parts.part_lines[at].where("weight_min"),
            f"the bands of {low.weight_class} (to {_weight(low.weight_max, facts)}) and {high.weight_class} "
            f"(from {_weight(high.weight_min, facts)}) {kind} at {parts.columns[0].label.lower()} {size}{more}.",
        )


def _between(low: Part, high: Part) -> str:
    if low.weight_max is None or high.weight_min is None or high.weight_min < low.weight_max:
        return "overlap"
    return "leave a gap" if high.weight_min > low.weight_max else ""


def check_prices(parts: Parts, notes: Notes) -> None:
    """Prices without a part number and part numbers without a price: each kind said once."""
    for key, lines, words in (
        (
            "part_number",
            parts.without_number,
            "is blank beside a price{}; such a part counts as not offered.",
        ),
        (
            "price",
            parts.without_price,
            "is blank{}; such a part can't be quoted without asking the factory.",
        ),
    ):
        if lines:
            more = f" (and in {_count(len(lines) - 1, 'more row')})" if len(lines) > 1 else ""
            notes.warning(lines[0].where(key), words.format(more))


def check_unlisted(parts: Parts, facts: Facts, notes: Notes) -> None:
    """Combinations of size, class and finish without a line count as not offered: said once."""
    classes = dict.fromkeys(part.weight_class for part in parts.parts)
    finishes = dict.fromkeys(part.finish for part in parts.parts)
    listed = {(part.row, part.weight_class, part.finish) for part in parts.parts}
    gone = [
        (row, name, finish)
        for row in range(len(parts.rows))
        for name in classes
        for finish in finishes
        if (row, name, finish) not in listed
    ]
    if gone:
        row, name, finish = gone[0]
        what = " ".join(word for word in (_size(parts.rows[row][0], facts), name, finish) if word)
        more = f" and {_count(len(gone) - 1, 'more combination')}" if len(gone) > 1 else ""
        notes.warning(
            "sheet Parts",
            f"has no line for {what}{more}; what is not listed counts as not offered.",
        )


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _size(length: Length, facts: Facts) -> str:
    return format_length(length, facts.unit)


def _weight(weight: Weight | None, facts: Facts) -> str:
    if weight is None:
        return "no limit"
    return format_weight(weight, facts.weight_unit, places=2)
