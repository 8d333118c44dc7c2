"""A size table laid out for reading: one line a size and weight class, one cell a finish. Pure data, no Django."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sizing.difference import Difference, PartChange
from sizing.lengths import Length, Unit, format_length, unbroken
from sizing.table import Part, SizeTable
from sizing.weights import Weight, WeightUnit, format_weight


@dataclass(frozen=True)
class ClassLine:
    """One weight class of a size. `parts` has one Part for each finish, None where nothing is listed."""

    name: str
    band: str
    parts: tuple[Part | None, ...]


@dataclass(frozen=True)
class SizeLine:
    """One row: its sizes as the trade writes them, and a line for each weight class."""

    sizes: tuple[str, ...]
    classes: tuple[ClassLine, ...]


def size_lines(table: SizeTable, parts: Sequence[Part]) -> list[SizeLine]:
    """The rows of these parts, from the smallest size to the largest."""
    found = []
    of_row: dict[int, list[Part]] = {}
    for part in parts:
        of_row.setdefault(part.row, []).append(part)
    for row in sorted(of_row, key=table.rows.__getitem__):
        cells = {(p.weight_class, p.finish): p for p in of_row[row]}
        names = dict.fromkeys(p.weight_class for p in of_row[row])
        classes = []
        for name in names:
            parts = tuple(cells.get((name, finish)) for finish in table.finishes)
            first = next(p for p in parts if p)
            band = band_text(first.weight_min, first.weight_max, table.weight_unit)
            classes.append(ClassLine(name, band, parts))
        sizes = tuple(_size(length, table.unit) for length in table.rows[row])
        found.append(SizeLine(sizes, tuple(classes)))
    return found


def band_text(low: Weight | None, high: Weight | None, unit: WeightUnit) -> str:
    """5.5 to 12 lb, from 12 lb, up to 5.5 lb; nothing when there is no band."""
    if low is None and high is None:
        return ""
    if low is None:
        return f"up to {format_weight(high, unit, 2)}"
    if high is None:
        return f"from {format_weight(low, unit, 2)}"
    return f"{format_weight(low, unit, 2, mark=False)} to {format_weight(high, unit, 2)}"


@dataclass(frozen=True)
class MeasureNote:
    """How one measure is taken, how exact it usually is, and how it usually goes wrong."""

    label: str
    how_to: str
    error: str
    slips: tuple[str, ...]


def measure_notes(table: SizeTable) -> list[MeasureNote]:
    notes = []
    for measure in table.measures:
        if measure.kind == "weight":
            error = format_weight(Weight(measure.tolerance), table.weight_unit, 2)
        else:
            error = format_length(measure.tolerance, table.unit, mark=True)
        slips = tuple(
            f"{s.name}: {_shift(s.shift_min, s.shift_max, table)}, about {100 * s.share:.3g} % of callers"
            for s in table.slips
            if s.measure == measure.code
        )
        notes.append(MeasureNote(measure.label, measure.how_to, error, slips))
    return notes


def _shift(low: int, high: int, table: SizeTable) -> str:
    """7/8 to 1 1/4 in short; 3/8 to 3/4 in over; -1/4 to 1/4 in off."""
    if low < 0 < high:
        return (
            f"{format_length(low, table.unit)} to {format_length(high, table.unit, mark=True)} off"
        )
    near, far = sorted((abs(low), abs(high)))
    word = "short" if low < 0 else "over"
    span = format_length(far, table.unit, mark=True)
    return (
        f"{span} {word}" if near == far else f"{format_length(near, table.unit)} to {span} {word}"
    )


@dataclass(frozen=True)
class ChangeLine:
    """One changed part as text. `step` and `percent` carry their sign: +1.20, -0.5 %."""

    size: str
    weight_class: str
    finish: str
    part_number: str
    was_number: str
    price: str
    was_price: str
    step: str
    percent: str
    remark: str


def change_lines(found: Difference, weight_unit: WeightUnit) -> list[ChangeLine]:
    """The changed parts: what is no longer offered, then the largest price steps in percent, then by size."""
    order = sorted(
        found.parts, key=lambda p: (p.after is not None, -abs(p.price_percent or 0), p.size)
    )
    return [_change_line(part, found, weight_unit) for part in order]


def _change_line(part: PartChange, found: Difference, weight_unit: WeightUnit) -> ChangeLine:
    now, was = part.after or part.before, part.before
    remarks = []
    if part.before is None and part.after is not None:
        remarks.append("offered now")
    if part.after is None and part.before is not None:
        remarks.append("no longer offered")
    if part.number_changed:
        remarks.append("another part number")
    if part.band_changed:
        bands = (
            band_text(*band, weight_unit) or "no band"
            for band in (part.band_after, part.band_before)
        )
        remarks.append("band {}, was {}".format(*bands))
    step = part.price_step if found.same_prices else None
    percent = part.price_percent if found.same_prices else None
    return ChangeLine(
        size=_size(part.size, found.unit),
        weight_class=part.weight_class,
        finish=part.finish,
        part_number=(now and now.part_number) or "",
        was_number=was.part_number or "" if was and part.number_changed else "",
        price="" if part.after is None or part.after.price is None else str(part.after.price),
        was_price="" if was is None or was.price is None else str(was.price),
        step=f"{step:+}" if step else "",
        percent=f"{percent:+} %" if step and percent is not None else "",
        remark="; ".join(remarks),
    )


def row_texts(rows: Iterable[tuple[Length, ...]], table: SizeTable) -> list[tuple[str, ...]]:
    return [tuple(_size(length, table.unit) for length in row) for row in rows]


def _size(length: Length, unit: Unit) -> str:
    return unbroken(format_length(length, unit))
