"""Why: each reading against the row, the split as understood, and sentences to read out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from sizing.lengths import PER_INCH, Length, Unit, format_difference, format_length
from sizing.resolver import noise
from sizing.resolver.answer import Opening, Reading, Split, Verdict
from sizing.resolver.compiled import CompiledTable
from sizing.resolver.curves import habits_of
from sizing.resolver.far import far_in_words
from sizing.table import Measure, Part, SizeTable
from sizing.weights import Weight, format_weight
from sizing.wording import N_
from sizing.wording import gettext as _


def certainty_in_words(certainty: float) -> str:
    """A probability (0 to 1) as the desk says it."""
    for floor, words in (
        (0.99, "certain"),
        (0.95, "very likely"),
        (0.8, "likely"),
        (0.5, "in doubt"),
    ):
        if certainty >= floor:
            return words
    return "unclear"


def readings(compiled: CompiledTable, opening: Opening, row: int | None) -> tuple[Reading, ...]:
    """Each length as read, beside what the row says it should be (row None: beside nothing)."""
    found = (
        _reading(compiled, compiled.index(code), length, row)
        for code, length in opening.lengths.items()
    )
    return tuple(_roughly(one) if one.measure in opening.about else one for one in found)


def _roughly(reading: Reading) -> Reading:
    return replace(reading, words=_("{words} (said as “about”)").format(words=reading.words))


def _reading(compiled: CompiledTable, at: int, length: Length, row: int | None) -> Reading:
    curves = compiled.measures[at]
    code, unit = curves.measure.code, compiled.table.unit
    if row is None:
        far = far_in_words(compiled, at, length)
        if far:
            return Reading(code, length, None, None, "misfit", far)
        return Reading(code, length, None, None, "unchecked", _("as given"))
    size = compiled.table.rows[row][curves.column]
    difference = Length(length - size)
    verdict, cause = _cause(compiled, at, difference, size)
    found = in_words(curves.measure, unit, length, size, verdict, cause)
    if verdict == "agrees" and not _is_near(curves.measure, difference):
        words = _("{apart}, taken as a reading error").format(
            apart=_apart_in_words(difference, unit)
        )
        return replace(found, words=words)
    return found


def _is_near(measure: Measure, difference: int) -> bool:
    """Within three reading errors, as what counts as a row's size (`compiled`): beyond that no tape agrees."""
    return abs(difference) <= 3 * measure.tolerance


def _apart_in_words(difference: Length, unit: Unit) -> str:
    words = _("{length} short") if difference < 0 else _("{length} over")
    return words.format(length=format_difference(difference, unit))


def in_words(
    measure: Measure, unit: Unit, length: Length, size: Length, verdict: Verdict, cause: str
) -> Reading:
    """A reading beside the size it should have: `cause` names the usual slip of a "slip"."""
    code, difference = measure.code, Length(length - size)
    if verdict == "agrees":
        return Reading(code, length, size, difference, "agrees", _("agrees"))
    apart = _apart_in_words(difference, unit)
    if verdict == "slip":
        cause = _(cause) if cause in _OWN_CAUSES else cause
        words = _("{apart}, a usual slip: {cause}").format(apart=apart, cause=cause)
    else:
        words = _("{apart}: does not fit").format(apart=apart)
    return Reading(code, length, size, difference, verdict, words, apart, cause)


_WHOLE_INCH, _WHOLE_CENTIMETRE, _MIXED = _OWN_CAUSES = (
    N_("a whole inch misread"),
    N_("a whole centimetre misread"),
    N_("feet and inches mixed"),
)


# A schedule asks this thousands of times and of few different readings.
@lru_cache(maxsize=8192)
def _cause(
    compiled: CompiledTable, at: int, difference: Length, size: Length
) -> tuple[Verdict, str]:
    """The likeliest cause of a difference from the row: its verdict, and the slip's name."""
    curves = compiled.measures[at]
    x = np.array([difference / noise.STEP])
    unit = compiled.table.unit
    habits = habits_of(compiled.table, curves.measure)
    straight = 1 - sum(h.share for h in habits)
    causes: list[tuple[Verdict, str, float]] = [
        ("agrees", "", straight * noise.tape(x, curves.sd)[0])
    ]
    for habit in habits:
        causes.append(("slip", habit.name, habit.density(x, curves.sd)[0]))
    whole = noise.misreading(unit)
    name = _WHOLE_INCH if unit is Unit.INCH else _WHOLE_CENTIMETRE
    for side in (-1, 1):
        density = noise.MISREAD / 2 * noise.normal(x + side * whole, 1.5 * curves.sd)[0]
        causes.append(("slip", name, density))
    feet = size // (12 * PER_INCH)
    if unit is Unit.INCH and feet:
        # 2' 9" said as 29: every foot counted as ten inches.
        mixed = noise.normal(x + feet * 2 * PER_INCH / noise.STEP, curves.sd)[0]
        causes.append(("slip", _MIXED, noise.ANYTHING * mixed))
    span = 2.0 * float(np.ptp(compiled.rows[curves.column])) + 640
    causes.append(
        ("misfit", "", noise.ANYTHING / span + noise.CARELESS * noise.normal(x, 4 * curves.sd)[0])
    )
    verdict, name, _ = max(causes, key=lambda cause: cause[2])
    return verdict, name


def split_in_words(split: Split, unit: Unit) -> str:
    percent = round(100 * split.upper_share)
    kind = {"equal": _("equal"), "cottage": _("cottage"), "oriel": _("oriel")}[split.kind]
    upper, lower = (format_length(h, unit) for h in (split.upper, split.lower))
    return _("{kind}, glass {upper} over {lower} {unit} ({above}/{below})").format(
        kind=kind, upper=upper, lower=lower, unit=unit, above=percent, below=100 - percent
    )


def nearest_rows(compiled: CompiledTable, opening: Opening) -> list[int]:
    """The rows with the least summed difference (far off the table every row is equally unlikely): more
    than one where each is as near, the smallest first."""
    apart = np.zeros(len(compiled.table.rows))
    for code, length in opening.lengths.items():
        column = compiled.measures[compiled.index(code)].column
        apart += [abs(length - row[column]) for row in compiled.table.rows]
    return _rising(compiled, np.flatnonzero(apart == apart.min()))


def likeliest_rows(compiled: CompiledTable, shares: np.ndarray) -> list[int]:
    """The likeliest row and those about as likely, the smallest first; `shares` is P of each row.

    About: half-way between two sizes in mm the step of 1/64 in alone makes it 53 to 47.
    """
    return _rising(compiled, np.flatnonzero(shares >= 0.8 * shares.max()))


def _rising(compiled: CompiledTable, rows: np.ndarray) -> list[int]:
    return sorted(rows.tolist(), key=compiled.table.rows.__getitem__)


def row_in_words(table: SizeTable, row: int) -> str:
    """glass 17 1/2, opening 39 3/4 in"""
    sizes = (
        f"{column.label.lower()} {format_length(size, table.unit)}"
        for column, size in zip(table.columns, table.rows[row], strict=True)
    )
    return f"{', '.join(sizes)} {table.unit}"


def _first_of(table: SizeTable, first: str, alike: str, rows: Sequence[int]) -> str:
    """The one row that is the `first`, or those that are `alike`."""
    one, *others = (row_in_words(table, row) for row in rows)
    if not others:
        return f"The {first} is {one}."
    if len(others) == 1:
        return f"Two are {alike}: {one}; and {others[0]}."
    return f"{len(rows)} are {alike}, from {one} to {others[-1]}."


def part_text(table: SizeTable, part: Part, found: Iterable[Reading]) -> str:
    kind = ", ".join(word for word in (part.weight_class, part.finish) if word)
    text = f"Part {part.part_number}: {row_in_words(table, part.row)}{f'; {kind}' if kind else ''}."
    return text + _doubts(table, found)


def _doubts(table: SizeTable, found: Iterable[Reading]) -> str:
    return "".join(
        f" {table.label_of(reading.measure)} reads {reading.words}."
        for reading in found
        if reading.verdict in ("slip", "misfit")
    )


def question_text(compiled: CompiledTable, measure: Measure, rows: np.ndarray) -> str:
    """The question in words for the caller, and between what it decides. `rows`: P of each row."""
    text = f"Ask for the {measure.named}."
    if measure.how_to:
        text += f" {measure.how_to.rstrip('.')}."
    likely = [int(r) for r in np.argsort(-rows)[:2] if rows[r] >= 0.05]
    column = compiled.table.columns[compiled.pair.column if compiled.pair else 0]
    place = compiled.table.column_index(column.code)
    rising = sorted(compiled.table.rows[r][place] for r in likely)
    sizes = [format_length(size, compiled.table.unit) for size in rising]
    if rows.max() < 0.25:
        return text
    if len(sizes) == 2:
        text += f" It decides between {column.label.lower()} {sizes[0]} and {sizes[1]} {compiled.table.unit}."
    elif sizes:
        text += (
            f" It confirms {column.label.lower()} {sizes[0]} {compiled.table.unit} or rules it out."
        )
    return text


def beside_nearest(compiled: CompiledTable, opening: Opening, row: int) -> tuple[Reading, ...]:
    """Each length beside the nearest row where no row is theirs: no usual slip explains anything there."""
    return tuple(
        reading
        if reading.verdict == "agrees"
        and _is_near(
            compiled.measures[compiled.index(reading.measure)].measure, reading.difference or 0
        )
        else _apart(compiled, reading)
        for reading in readings(compiled, opening, row)
    )


def _apart(compiled: CompiledTable, reading: Reading) -> Reading:
    difference = Length(reading.difference or 0)
    apart = format_difference(difference, compiled.table.unit)
    words = (
        _("{length} under the nearest size")
        if difference < 0
        else _("{length} over the nearest size")
    ).format(length=apart)
    far = far_in_words(compiled, compiled.index(reading.measure), Length(reading.value))
    return replace(reading, verdict="misfit", words=far or words, apart="", cause="")


def special_size_text(
    compiled: CompiledTable,
    reason: str,
    split: Split | None,
    rows: Sequence[int],
    found: Iterable[Reading],
) -> str:
    """`rows`: the nearest of "off_table", the likeliest of "low_certainty"; of "unequal_split" none."""
    table = compiled.table
    if reason == "unequal_split" and split is None:
        return (
            "Special quote: what is measured so far fits no equal split of the table. The sashes may be "
            "unequal: have the glass of both measured."
        )
    if reason == "unequal_split":
        how = f": {split_in_words(split, table.unit)}" if split and split.kind != "equal" else ""
        text = f"Special quote: the sashes are not equal{how}. The table has equal splits only."
        return text + _doubts(table, found)
    if reason == "off_table":
        return "Special quote: no size in the table fits these measures. " + _first_of(
            table, "nearest", "as near", rows
        )
    read = tuple(found)
    if not read:
        return "Special quote: nothing of it can be measured, so no size can be named."
    doubtful = [table.label_of(r.measure) for r in read if r.verdict != "agrees"]
    again = f" Have this measured again first: {', '.join(doubtful)}." if doubtful else ""
    if not doubtful or len(read) == 1:
        doubt = "more can be measured: what there is does not settle one size"
    else:
        doubt = "the doubt is cleared: the measures do not agree on one size"
    likeliest = _first_of(table, "likeliest", "about as likely", rows)
    return f"Special quote unless {doubt}. {likeliest}{again}"


# Said before what is still asked once the size is known.
SETTLED = "The size is settled."


def weight_question(measure: Measure) -> str:
    return f"{SETTLED} Ask for the sash weight. {measure.how_to}".strip()


def finish_question(table: SizeTable, row: int, weight_class: str | None, said: str | None) -> str:
    offered = finishes_offered(table, row, weight_class)
    unknown = f"“{said.strip()}” is no finish of this family. " if said and said.strip() else ""
    return f"{unknown}{SETTLED} Ask which finish: {_either(offered)}."


def finishes_offered(table: SizeTable, row: int, weight_class: str | None) -> tuple[str, ...]:
    parts = (
        p for p in table.parts_of_row(row)
        if p.part_number and weight_class in (None, p.weight_class)
    )  # fmt: skip
    return tuple(dict.fromkeys(p.finish for p in parts))


def weight_text(table: SizeTable, row: int, weight: Weight | None) -> str:
    bands: Mapping[str, Part] = {p.weight_class: p for p in table.parts_of_row(row)}
    listed = "; ".join(_band_in_words(table, p) for p in bands.values())
    if weight is None:
        return (
            "Special quote unless the weight is worked out from the glass: nobody can say what the "
            f"sash weighs. The classes of this size: {listed}."
        )
    shown = format_weight(weight, table.weight_unit, places=2)
    return f"Special quote: {shown} falls in no one weight class of this size: {listed}."


def _band_in_words(table: SizeTable, part: Part) -> str:
    low, high = (
        None if w is None else format_weight(w, table.weight_unit, places=2, mark=False)
        for w in (part.weight_min, part.weight_max)
    )
    unit, name = table.weight_unit, part.weight_class or "the only class"
    if low is None and high is None:
        return f"{name}, any weight"
    if low is None or high is None:
        return f"{name} {f'up to {high}' if low is None else f'from {low}'} {unit}"
    return f"{name} {low} to {high} {unit}"


def not_offered_text(
    table: SizeTable,
    row: int,
    weight_class: str | None,
    finish: str | None,
    offered: Iterable[Part],
) -> str:
    wanted = ", ".join(word for word in (weight_class, finish) if word)
    by_class: dict[str, list[str]] = {}
    for part in offered:
        by_class.setdefault(part.weight_class, []).append(part.finish)
    listed = "; ".join(
        f"{weight_class or 'this size'} in {_either(finishes)}"
        for weight_class, finishes in by_class.items()
    )
    return (
        f"Special quote: {row_in_words(table, row)} is not offered{f' as {wanted}' if wanted else ''}. "
        + (f"Offered: {listed}." if listed else "Nothing of this size is offered.")
    )


def _either(words: Iterable[str]) -> str:
    *rest, last = [word or "the only finish" for word in words] or ["none"]
    return f"{', '.join(rest)} or {last}" if rest else last
