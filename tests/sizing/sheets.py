"""A small sound workbook that tests spoil in one place at a time."""

from __future__ import annotations

import io
from collections.abc import Callable
from copy import deepcopy
from typing import Any

from openpyxl import Workbook

HEADINGS = ["weight_class", "weight_min", "weight_max", "finish", "part_number", "price"]
SOUND: dict[str, list[list[Any]]] = {
    "Family": [
        ["key", "value"],
        ["code", "wren-liner"],
        ["name", "Wren liner"],
        ["factory", "Wren Hill Shop"],
        ["length_unit", "in"],
        ["weight_unit", "lb"],
        ["currency", "USD"],
        ["lead_weeks_min", 2],
        ["lead_weeks_max", 3],
    ],
    "Measures": [
        ["code", "label", "column", "kind", "tolerance", "how_to"],
        ["upper_glass", "Upper glass", "glass", "length", 0.125, "Edge to edge."],
        ["lower_glass", "Lower glass", "glass", "length", "1/8", "Edge to edge."],
        ["opening", "Opening", "opening", "length", 0.125, "Sill to head."],
        ["sash_weight", "Sash weight", None, "weight", 0.5, "On a scale."],
    ],
    "Slips": [
        ["measure", "name", "shift_min", "shift_max", "share"],
        ["upper_glass", "visible glass only", "-1 1/4", -0.75, 0.15],
        ["opening", "to the wrong stop", -0.5, 0.5, 0.1],
    ],
    "Parts": [
        ["glass", "opening", *HEADINGS],
        [17.5, "40", "light", 5, 10, "ash", "W1LA", 31.5],
        [17.5, "40", "heavy", 10, 16, "ash", "W1HA", 35],
        [19, "43 1/4", "light", 6, 11, "ash", "W2LA", 33.25],
        [19, "43 1/4", "heavy", 11, 18, "ash", None, None],
    ],
    "Fit": [
        ["question", "answer that fits", "otherwise"],
        ["Do both sashes slide?", "yes", "Not a double-hung window."],
    ],
}
Sheets = dict[str, list[list[Any]]]


def workbook(spoil: Callable[[Sheets], Any] | None = None, shape: Callable | None = None) -> bytes:
    """The sound workbook after `spoil` changed its cells and `shape` the openpyxl workbook itself."""
    sheets = deepcopy(SOUND)
    if spoil:
        spoil(sheets)
    book = Workbook()
    book.remove(book.active)
    for title, lines in sheets.items():
        sheet = book.create_sheet(title)
        for line in lines:
            sheet.append(line)
    if shape:
        shape(book)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def cell(ref: str, value: Any) -> Callable[[Any], None]:
    """A shape that puts a value into one cell: cell("Parts!B3", "wide")."""
    title, place = ref.split("!")

    def put(book: Any) -> None:
        book[title][place] = value

    return put
