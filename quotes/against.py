"""What in the numbers themselves speaks against an answer, in a sentence for the clerk; "" where nothing does. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from sizing.lengths import Length, format_length
from sizing.resolver.answer import Opening
from sizing.resolver.explain import SETTLED
from sizing.table import Part, SizeTable
from sizing.weights import Weight, format_weight


def asked_after(text: str) -> str:
    """A sentence of the desk as it is said after what speaks against it: no size is settled then, and the number
    that is to be measured again comes first."""
    return text.replace(f"{SETTLED} Ask", "Then ask")


def mixed_up(table: SizeTable, lengths: Mapping[str, Length]) -> str:
    """Numbers that no window of this family can have together, as when two boxes were changed over."""
    known = [
        (m, table.column_index(m.column))
        for m in table.measures
        if m.code in lengths and m.column is not None
    ]
    glass = [(m, at) for m, at in known if m.sash]
    total = sum(lengths[m.code] for m, _ in glass)
    for whole, over in known:
        if not glass or whole.sash or lengths[whole.code] > total:
            continue
        at = glass[0][1]
        if all(row[over] > 2 * row[at] for row in table.rows):
            inside = " and ".join(format_length(lengths[m.code], table.unit) for m, _ in glass)
            return (
                f"No window is like this: its {whole.label.lower()} is "
                f"{format_length(lengths[whole.code], table.unit)} and the glass in it {inside}. "
                "Is each number in its own box?"
            )
    return ""


def near_another_class(table: SizeTable, part: Part, opening: Opening) -> str:
    """A weight that a scale no better than usual may have from the class beside the one it is in."""
    measure, weight = table.weight_measure, opening.weight
    if measure is None or weight is None or opening.weight_estimated:
        return ""
    unit, reach = table.weight_unit, Weight(measure.tolerance)
    for other in table.parts:
        beside = (other.row, other.finish) == (part.row, part.finish) and other.part_number
        if not beside or other.weight_class == part.weight_class:
            continue
        if (other.weight_min or 0) - reach <= weight <= (other.weight_max or inf) + reach:
            return (
                f"{format_weight(weight, unit)} lies where {part.weight_class} meets "
                f"{other.weight_class}: a scale that is {format_weight(reach, unit)} off makes it "
                f"{other.part_number}. Have it weighed once more before anything is ordered."
            )
    return ""
