"""Workbook -> SizeTable, with everything that is wrong named by sheet and cell."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sizing.table import SizeTable, default_measures, default_slips
from sizing.workbook.checks import check_bands, check_prices, check_rise, check_unit, check_unlisted
from sizing.workbook.family import read_facts
from sizing.workbook.measuring import (
    add_sash_weight,
    read_fit,
    read_measures,
    read_slips,
    read_words,
)
from sizing.workbook.notes import Notes
from sizing.workbook.parts import read_parts
from sizing.workbook.safe import Sheet, open_sheets


def read_workbook(source: str | Path | bytes) -> tuple[SizeTable, list[str]]:
    """The size table a workbook (path or content) says, and warnings as sentences.

    Raises WorkbookError with every problem found, each naming its sheet and cell and how to mend it.
    """
    notes = Notes()
    sheets = open_sheets(source, notes)
    for title in ("Family", "Parts"):
        if title not in sheets:
            notes.problem(f"sheet {title}", "is missing; add it, or correct the name of the sheet.")
    notes.stop_if_any()

    facts = read_facts(sheets["Family"], notes)
    # Without its units nothing below can be read, so these problems come alone.
    notes.stop_if_any()
    parts = read_parts(sheets["Parts"], facts, notes)
    weighed = any(p.weight_min is not None or p.weight_max is not None for p in parts.parts)

    measures = read_measures(_filled(sheets, "Measures"), parts.columns, facts, notes)
    if not measures:
        measures = default_measures(parts.columns, facts.unit, facts.weight_unit, weighed)
    elif weighed:
        measures = add_sash_weight(measures, facts, notes)
    slips = read_slips(_filled(sheets, "Slips"), measures, facts, notes)
    fit = read_fit(_filled(sheets, "Fit"), notes)

    check_rise(parts, facts)
    check_bands(parts, facts, notes)
    notes.stop_if_any()
    check_unit(parts, facts, notes)
    check_prices(parts, notes)
    check_unlisted(parts, facts, notes)
    table = SizeTable(
        **vars(facts),
        columns=parts.columns,
        rows=tuple(parts.rows),
        measures=measures,
        slips=slips or default_slips(measures, facts.unit),
        parts=tuple(parts.parts),
        fit=fit,
    )
    return replace(table, words=read_words(_filled(sheets, "Words"), table, notes)), notes.warnings


def _filled(sheets: dict[str, Sheet], title: str) -> Sheet | None:
    """The sheet, unless it is missing or quite empty: then the defaults serve."""
    sheet = sheets.get(title)
    return sheet if sheet and sheet.lines else None
