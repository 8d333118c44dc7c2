"""Numbers far from every size of the table: most likely they are of the other unit.

Far is less than half the smallest size or over twice the largest (the desk's own judgement, no source).
Such a number is never converted: what it would be in the other unit is named, so that it can be typed.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from sizing.lengths import PER_INCH, PER_MM, Length, Unit, format_length
from sizing.resolver.answer import Opening
from sizing.resolver.compiled import CompiledTable
from sizing.wording import gettext as _

OTHER_UNIT = {Unit.INCH: Unit.MM, Unit.MM: Unit.INCH}


def far_in_words(compiled: CompiledTable, at: int, length: Length) -> str:
    """What to say of a number so far from every size that its unit is in doubt; else nothing."""
    sizes = _sizes(compiled, at)
    side = _far(length, sizes)
    if not side:
        return ""
    unit = compiled.table.unit
    other = in_other_unit(length, unit)
    if _far(other, sizes):
        return (
            _("less than half the smallest size: check its unit")
            if side < 0
            else _("over twice the largest size: check its unit")
        )
    said = format_length(other, OTHER_UNIT[unit], mark=True)
    return (
        _("less than half the smallest size: type {length} if it is inches").format(length=said)
        if side < 0
        else _("over twice the largest size: type {length} if it is millimetres").format(
            length=said
        )
    )


def doubted_units(compiled: CompiledTable, opening: Opening) -> list[int]:
    """The places of the lengths that were typed without a unit, are far from every size and would not be in the
    other unit. Who types a unit with one has said which they mean."""
    found = []
    for at, curves in enumerate(compiled.measures):
        code = curves.measure.code
        if code not in opening.bare:
            continue
        length, sizes = opening.lengths[code], _sizes(compiled, at)
        if _far(length, sizes) and not _far(in_other_unit(length, compiled.table.unit), sizes):
            found.append(at)
    return found


def in_other_unit(length: Length, unit: Unit) -> Length:
    """The length that the same number is in the other unit: 41 mm for 41 in."""
    per = Fraction(PER_MM, PER_INCH) if unit is Unit.INCH else Fraction(PER_INCH, PER_MM)
    return Length(round(length * per))


def unit_question(compiled: CompiledTable, opening: Opening, places: Sequence[int]) -> str:
    """Which unit the numbers in these places are of, with what to type for either."""
    unit, said = compiled.table.unit, []
    for measure in (compiled.measures[at].measure for at in places):
        length = opening.lengths[measure.code]
        other = in_other_unit(length, unit)
        given, same, meant = (
            format_length(length, unit, mark=True),
            format_length(other, unit, mark=True),
            format_length(other, OTHER_UNIT[unit], mark=True),
        )
        said.append((measure.named, given, f"{meant} ({same})"))
    if len(said) > 1:
        each = "; ".join(f"{name}, {given} or {meant}" for name, given, meant in said)
        return (
            f"These look to be in the other unit, as they stand far from every size: {each}. Ask which they are, "
            "and type each with its unit."
        )
    ((name, given, meant),) = said
    return (
        f"The {name} looks to be in the other unit: {given} is far from every size, {meant} is "
        "not. Ask which it is, and type it with its unit."
    )


def _sizes(compiled: CompiledTable, at: int) -> Sequence[Length]:
    column = compiled.measures[at].column
    return [row[column] for row in compiled.table.rows]


def _far(length: Length, sizes: Sequence[Length]) -> int:
    """-1 below half the smallest size, 1 over twice the largest, 0 between."""
    return (length > 2 * max(sizes)) - (2 * length < min(sizes))
