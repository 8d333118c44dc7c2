"""From what was typed to an Opening: every problem named at its field, nothing guessed."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from sizing.about import said_as_about
from sizing.glass import SashError, read_sash
from sizing.lengths import Length, LengthError, from_number, names_unit, parse_length
from sizing.resolver.answer import Opening
from sizing.table import Measure, SizeTable
from sizing.weights import Weight, WeightError, parse_weight
from sizing.weights import from_number as weight_from_number
from sizing.wording import gettext as _


class OpeningError(ValueError):
    """What is wrong with an opening as typed: `problems` maps each field to one sentence."""

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__(" ".join(problems.values()))
        self.problems = dict(problems)


def read_opening(
    table: SizeTable,
    measures: Mapping[str, object],
    *,
    finish: str | None = None,
    sash: Mapping[str, str] | None = None,
) -> Opening:
    """Read an opening's measures: {code: text or number in the family's unit}.

    An empty text is a measure not taken yet; None is one that nobody can take. The code of a column
    that upper and lower sash share may stand for a height said of neither. A length may be said as
    "about 30". `sash` (glass_width, glass_height, thickness, panes, frame) estimates the weight when
    there is none. Raises OpeningError with every problem there is.
    """
    lengths: dict[str, Length] = {}
    problems: dict[str, str] = {}
    cannot: set[str] = set()
    about: set[str] = set()
    bare: set[str] = set()
    weight: Weight | None = None
    for code, said in measures.items():
        measure = table.measure(code) or _of_either_sash(table, code, measures)
        if measure is None:
            problems[code] = _unknown(table, code)
        elif said is None:
            cannot.add(measure.code)
        elif isinstance(said, str) and not said.strip():
            continue
        else:
            try:
                if measure.kind == "weight":
                    weight = _weight(said, table)
                else:
                    lengths[measure.code], roughly, unitless = _length(said, table)
                    about |= {measure.code} if roughly else set()
                    bare |= {measure.code} if unitless else set()
            except (LengthError, WeightError) as problem:
                problems[code] = f"{measure.label}: {problem}"
    estimate = None
    if weight is None and sash and any(text.strip() for text in sash.values()):
        # What is only known about gives no weight.
        taped = {code: length for code, length in lengths.items() if code not in about}
        try:
            estimate = read_sash(_with_height(table, sash, taped), table.unit)
        except SashError as problem:
            problems |= problem.problems
    if problems:
        raise OpeningError(problems)
    return Opening(
        lengths=lengths,
        weight=estimate.weight if estimate else weight,
        weight_error=estimate.error if estimate else None,
        weight_estimated=estimate is not None,
        finish=finish,
        cannot=frozenset(cannot),
        about=frozenset(about),
        bare=frozenset(bare),
    )


def _of_either_sash(table: SizeTable, code: str, measures: Mapping[str, object]) -> Measure | None:
    """A height said of neither sash goes to the first sash of its column that has none yet."""
    sashes = [m for m in table.measures if m.column == code and m.sash]
    return next((m for m in sashes if not measures.get(m.code)), None)


def _unknown(table: SizeTable, code: str) -> str:
    codes = [m.code for m in table.measures]
    close = difflib.get_close_matches(code, codes, 1)
    hint = f"did you mean {close[0]}?" if close else f"it has {', '.join(codes)}."
    return f"“{code}” is no measure of {table.name}: {hint}"


def _length(said: object, table: SizeTable) -> tuple[Length, bool, bool]:
    """The length, whether it is said as "about", and whether it is said without a unit."""
    if isinstance(said, str):
        plain, roughly = said_as_about(said)
        return parse_length(plain, table.unit), roughly, not names_unit(plain)
    if isinstance(said, bool) or not isinstance(said, (int, float, Fraction, Decimal)):
        raise LengthError(f"{said!r} is no length: give a text such as 17 3/8 or a number.")
    length = from_number(said, table.unit)
    if length <= 0:
        raise LengthError(f"{said} is no length: give a number above zero.")
    return length, False, True


def _weight(said: object, table: SizeTable) -> Weight:
    if isinstance(said, str):
        if said_as_about(said)[1]:
            # A class begins at an ounce: nothing wider than a scale's error tells one from the next.
            words = _(
                "“{said}” is no weight to choose a part by: type what the scale shows, or leave it empty."
            )
            raise WeightError(words.format(said=said.strip()))
        return parse_weight(said, table.weight_unit)
    if isinstance(said, bool) or not isinstance(said, (int, float, Fraction, Decimal)):
        raise WeightError(f"{said!r} is no weight: give a text such as 12 lb 4 oz or a number.")
    weight = weight_from_number(said, table.weight_unit)
    if weight <= 0:
        raise WeightError(f"{said} is no weight: give a number above zero.")
    return weight


def _with_height(
    table: SizeTable, sash: Mapping[str, str], lengths: Mapping[str, Length]
) -> Mapping[str, str]:
    """The pane's height is the sash's own glass reading unless it was typed; the taller if two."""
    if sash.get("glass_height", "").strip():
        return sash
    heights = [lengths[m.code] for m in table.measures if m.sash and m.code in lengths]
    if not heights:
        return sash
    # In 1/320 mm exactly, and with its unit, so that it reads the same in either kind of family.
    return {**sash, "glass_height": f"{Decimal(max(heights)) / 320} mm"}
