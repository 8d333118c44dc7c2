"""Sheets Measures, Slips, Fit and Words: how the window is measured, whether the family suits it at all,
and what all this is in another language."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from sizing.lengths import Length
from sizing.table import (
    Column,
    FitQuestion,
    Measure,
    Sash,
    SizeTable,
    Slip,
    default_weight_measure,
    sayable,
)
from sizing.wording import LANGUAGES
from sizing.workbook.cells import Line, code_of, fold, label_of, table_lines
from sizing.workbook.family import Facts
from sizing.workbook.notes import Notes
from sizing.workbook.safe import Sheet

MEASURES = ("code", "label", "column", "kind", "tolerance", "how_to")
SLIPS = ("measure", "name", "shift_min", "shift_max", "share")
FIT = ("question", "answer that fits", "otherwise")
WORDS = ("text", "language", "words")


def read_measures(
    sheet: Sheet | None, columns: Sequence[Column], facts: Facts, notes: Notes
) -> tuple[Measure, ...]:
    """The declared measures, or none of them when the sheet is missing or has only its headings."""
    if sheet is None:
        return ()
    heads, lines = table_lines(sheet, MEASURES, notes)
    _say_unread(sheet, heads, MEASURES, notes)
    found: list[Measure] = []
    seen: dict[str, int] = {}
    of_column: dict[str, int] = {}
    for line in lines:
        line.need("code", "a short name such as opening")
        measure = _measure(line, columns, facts)
        if measure is None:
            continue
        first = seen.setdefault(fold(measure.code), line.row)
        if first != line.row:
            line.problem(
                "code",
                f"{measure.code} stands already in row {first}; give each measure its own code.",
            )
        if measure.column:
            of_column[measure.column] = of_column.get(measure.column, 0) + 1
            if of_column[measure.column] == 3:
                line.problem(
                    "column",
                    f"is the third measure of {measure.column}; a column has two at most, one for each sash.",
                )
        if measure.kind == "weight" and any(m.kind == "weight" for m in found):
            line.problem("kind", "is the second weight; keep one, the weight of the sash.")
        found.append(measure)
    return _with_sashes(found)


def _measure(line: Line, columns: Sequence[Column], facts: Facts) -> Measure | None:
    code = line.text("code", 40)
    label = line.text("label", 80)
    named = line.text("column", 40)
    column = next((c.code for c in columns if named and fold(c.code) == fold(named)), None)
    if named and column is None and columns:
        have = ", ".join(c.code for c in columns)
        line.problem("column", f"“{named}” is no column of the sheet Parts; type one of {have}.")
    kind = line.choice("kind", ("length", "weight")) or ("length" if named else None)
    if kind is None and not line.has("kind"):
        line.problem("kind", "is blank; type length or weight.")
    if kind == "length" and not named:
        line.problem("column", "is blank; type the column of the sheet Parts that it measures.")
    if kind == "weight" and named:
        line.problem("column", "is filled in for a weight; clear it.")
    line.need("tolerance", "the usual reading error")
    tolerance: int | None
    if kind == "weight":
        tolerance = line.weight("tolerance", facts.weight_unit)
        if tolerance == 0:
            line.problem("tolerance", "is 0; type the usual reading error, such as 0.5.")
    else:
        tolerance = line.length("tolerance", facts.unit)
    how_to = line.text("how_to", 1000) or ""
    if code is None or kind is None or tolerance is None:
        return None
    code = code_of(code)
    return Measure(code, label or label_of(code), column, "weight" if kind == "weight" else "length", tolerance, how_to)  # fmt: skip


def _with_sashes(measures: Sequence[Measure]) -> tuple[Measure, ...]:
    """Two measures of one column are the upper and the lower sash: by their names, else in their order."""
    sashes: dict[str, Sash] = {}
    for column in {m.column for m in measures if m.column}:
        pair = [m for m in measures if m.column == column]
        if len(pair) == 2:
            first, second = pair
            turned = _says(first) == "lower" or (_says(first) is None and _says(second) == "upper")
            sashes[first.code], sashes[second.code] = (
                ("lower", "upper") if turned else ("upper", "lower")
            )
    return tuple(replace(m, sash=sashes.get(m.code)) for m in measures)


def _says(measure: Measure) -> Sash | None:
    for words in (measure.code.casefold(), measure.label.casefold()):
        # At the beginning of a word only: a stop is no top.
        if re.search(r"(?<![^\W_])(upper|top)", words):
            return "upper"
        if re.search(r"(?<![^\W_])(lower|bottom)", words):
            return "lower"
    return None


def add_sash_weight(
    measures: tuple[Measure, ...], facts: Facts, notes: Notes
) -> tuple[Measure, ...]:
    """With weight bands somebody must be able to ask for the weight: adds the usual measure if none is declared."""
    if any(m.kind == "weight" for m in measures):
        return measures
    weight = default_weight_measure(facts.weight_unit)
    notes.warning(
        "sheet Measures", "has no weight, but the parts have weight bands; sash_weight is added."
    )
    return (*measures, weight)


def read_slips(
    sheet: Sheet | None, measures: Sequence[Measure], facts: Facts, notes: Notes
) -> tuple[Slip, ...]:
    if sheet is None:
        return ()
    heads, lines = table_lines(sheet, SLIPS, notes)
    _say_unread(sheet, heads, SLIPS, notes)
    found: list[Slip] = []
    shares: dict[str, float] = {}
    for line in lines:
        slip = _slip(line, measures, facts)
        if slip is None:
            continue
        shares[slip.measure] = shares.get(slip.measure, 0.0) + slip.share
        # Floats: ten shares of 0.1 sum to a little more than one.
        if shares[slip.measure] > 1 + 1e-9:
            line.problem(
                "share",
                f"brings the shares of {slip.measure} to {shares[slip.measure]:.3g}; together they must not pass 1.",
            )
        found.append(slip)
    return tuple(found)


def _slip(line: Line, measures: Sequence[Measure], facts: Facts) -> Slip | None:
    for key, what in (
        ("measure", "the measure's code"),
        ("name", "what is done wrongly"),
        ("shift_min", "the least shift, below zero if it reads short"),
        ("shift_max", "the greatest shift"),
        ("share", "the share of callers, 0 to 1"),
    ):
        line.need(key, what)
    said = line.text("measure", 40)
    name = line.text("name", 120)
    measure = next((m for m in measures if said and fold(m.code) == fold(said)), None)
    if said and measure is None:
        have = ", ".join(m.code for m in measures if m.kind == "length")
        line.problem("measure", f"“{said}” is no measure; type one of {have}.")
    if measure and measure.kind == "weight":
        line.problem("measure", f"{measure.code} is a weight; slips are of lengths only.")
    low, high = (line.length(key, facts.unit, signed=True) for key in ("shift_min", "shift_max"))
    if low is not None and high is not None and low > high:
        line.problem("shift_max", "is less than shift_min; exchange them (-1 is less than -1/2).")
    share = line.number("share")
    if share is not None and not 0 <= share <= 1:
        line.problem("share", f"{share:f} is not from 0 to 1; 15 % is typed 0.15.")
        return None
    if measure is None or name is None or low is None or high is None or share is None:
        return None
    return Slip(measure.code, name, Length(low), Length(high), float(share))


def read_fit(sheet: Sheet | None, notes: Notes) -> tuple[FitQuestion, ...]:
    if sheet is None:
        return ()
    aliased = {"answer": "answer_that_fits", "what_it_is_otherwise": "otherwise"}
    heads, lines = table_lines(sheet, FIT, notes, aliased)
    _say_unread(sheet, heads, FIT, notes)
    found = []
    for line in lines:
        words = []
        for key, most in (("question", 255), ("answer_that_fits", 120), ("otherwise", 255)):
            line.need(key, "it")
            words.append(line.text(key, most) or "")
        found.append(FitQuestion(*words))
    return tuple(found)


def read_words(
    sheet: Sheet | None, table: SizeTable, notes: Notes
) -> tuple[tuple[str, str, str], ...]:
    """What the table's texts are in other languages: (language, text, words), in the sheet's order."""
    if sheet is None:
        return ()
    heads, lines = table_lines(sheet, WORDS, notes)
    _say_unread(sheet, heads, WORDS, notes)
    known, found = sayable(table), {}
    for line in lines:
        text, language, words = (line.text(key, 1000) or "" for key in WORDS)
        if language not in LANGUAGES[1:]:
            spoken = ", ".join(LANGUAGES[1:])
            notes.warning(
                line.where("language"),
                f"“{language}” is no language of the desk besides English ({spoken}); it is left out.",
            )
        elif text not in known:
            notes.warning(
                line.where("text"),
                f"“{text[:60]}” stands nowhere else in this workbook; it is left out.",
            )
        elif words:
            found[language, text] = words
    return tuple((language, text, words) for (language, text), words in found.items())


def _say_unread(
    sheet: Sheet, heads: list[tuple[str, str]], known: Sequence[str], notes: Notes
) -> None:
    for key, heading in heads:
        if key not in {fold(name) for name in known}:
            notes.warning(
                f"sheet {sheet.title}",
                f"the column {heading} is not one that is read; it is left out.",
            )
