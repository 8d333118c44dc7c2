"""Families that the message sets are read for: the liners of two rulers, the demo's, and three that
name the same things in other words (pane, frame, tip; clear opening; jamb, long side)."""

from fixtures.build import balance, liner, strip
from sizing.lengths import Unit, parse_length
from sizing.table import Column, Measure, Part, SizeTable, default_measures
from sizing.weights import WeightUnit, parse_weight

FINISHES = ("ash", "slate", "chalk")
COLUMNS = (
    Column("glass", "Glass"),
    Column("opening", "Opening"),
    Column("long_point", "Long point"),
)
INCH, MM = (Unit.INCH, WeightUnit.POUND), (Unit.MM, WeightUnit.KG)
Ruler = tuple[Unit, WeightUnit]


def _table(
    code: str, ruler: Ruler, columns: tuple[Column, ...], rows: list[tuple[str, str, str]],
    measures: tuple[Measure, ...], finishes: tuple[str, ...] = FINISHES,
) -> SizeTable:  # fmt: skip
    unit, weight_unit = ruler
    parts = tuple(
        Part(row, f"class {c}", parse_weight(low, weight_unit), parse_weight(high, weight_unit),
             finish, f"{code.upper()}-{row}{c}{finish[:6].upper()}", None)
        for row in range(len(rows))
        for c, low, high in ((1, "4", "9"), (2, "9.5", "15"))
        for finish in finishes
    )  # fmt: skip
    return SizeTable(
        code, f"Liners in {unit}", "Lathe and Sons", unit, weight_unit, "USD", 3, 5, columns,
        tuple(tuple(parse_length(size, unit) for size in row) for row in rows),
        measures, parts=parts,
    )  # fmt: skip


def _measures(
    ruler: Ruler, columns: tuple[Column, ...], named: list[tuple[str, str]]
) -> tuple[Measure, ...]:
    """Measures of the columns, the first of them once for each sash, under names of the family's own."""
    usual = default_measures(columns, *ruler, weighed=True)
    across = (columns[0].code, columns[0].code, columns[1].code, columns[2].code, None)
    sashes = ("upper", "lower", None, None, None)
    return tuple(
        Measure(code, label, column, known.kind, known.tolerance, "", sash)
        for known, (code, label), column, sash in zip(
            (*usual[:1] * 2, *usual[-3:]), named, across, sashes, strict=True
        )
    )


# Opening = twice the glass and 5 5/8 in (140 mm); long point = opening and 1 3/4 in (45 mm).
_INCH = [
    (f"{glass} 3/8", f"{2 * glass + 6} 3/8", f"{2 * glass + 8} 1/8") for glass in range(14, 25)
]
_MM = [(f"{glass}", f"{2 * glass + 140}", f"{2 * glass + 185}") for glass in range(360, 640, 25)]
_CRAKE = (Column("pane", "Pane"), Column("frame", "Frame"), Column("tip", "Tip"))
_WREN = (Column("glass", "Glass"), Column("jamb", "Jamb"), Column("part_length", "Part length"))

TABLES = {
    "inch": _table("inch", INCH, COLUMNS, _INCH, default_measures(COLUMNS, *INCH, weighed=True)),
    "mm": _table("mm", MM, COLUMNS, _MM, default_measures(COLUMNS, *MM, weighed=True)),
    "liner": liner(),
    "balance": balance(),
    "strip": strip(),
    "crake": _table(
        "crake", INCH, _CRAKE,
        [(f"{g} 1/4", f"{2 * g + 5} 7/8", f"{2 * g + 7} 1/8") for g in range(13, 27)],
        _measures(INCH, _CRAKE, [
            ("pane_top", "Top pane height"), ("pane_bottom", "Bottom pane height"),
            ("frame", "Frame height, sill to head"), ("tip", "Old track, tip to end"),
            ("sash_weight", "Weight of one sash"),
        ]),
        ("bone", "dark bone", "tin"),
    ),
    "dunlin": _table(
        "dunlin", MM, COLUMNS,
        [(f"{g}", f"{2 * g + 121}", f"{2 * g + 163}") for g in range(355, 700, 23)],
        _measures(MM, COLUMNS, [
            ("glass_upper", "Glass of the upper sash"), ("glass_lower", "Glass of the lower sash"),
            ("opening", "Clear opening height"), ("long_point", "Old track, long point"),
            ("sash_weight", "Sash weight"),
        ]),
        ("fern", "flint"),
    ),
    "wren": _table(
        "wren", INCH, _WREN,
        [(f"{g} 1/2", f"{2 * g + 6} 1/8", f"{2 * g + 7} 5/8") for g in range(12, 27)],
        _measures(INCH, _WREN, [
            ("glass_top", "Top glass"), ("glass_bottom", "Bottom glass"),
            ("jamb", "Jamb height (sill to head)"), ("part_length", "Length of the old part, long side"),
            ("weight", "Weight of the sash"),
        ]),
        ("white", "almond", "light grey"),
    ),
}  # fmt: skip
