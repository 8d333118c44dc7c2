"""Two invented families and the rule by which a reading is held against what was expected."""

from dataclasses import dataclass, field

from quotes.messages import Message, ReadOpening
from sizing.lengths import Unit, parse_length
from sizing.table import Column, Part, SizeTable, default_measures
from sizing.weights import WeightUnit, parse_weight

FINISHES = ("ash", "slate", "chalk")
COLUMNS = (
    Column("glass", "Glass"),
    Column("opening", "Opening"),
    Column("long_point", "Long point"),
)


def _table(
    code: str, unit: Unit, weight_unit: WeightUnit, rows: list[tuple[str, str, str]]
) -> SizeTable:
    parts = tuple(
        Part(row, f"class {c}", parse_weight(low, weight_unit), parse_weight(high, weight_unit),
             finish, f"{code.upper()}-{row}{c}{finish[0].upper()}", None)
        for row in range(len(rows))
        for c, low, high in ((1, "4", "9"), (2, "9.5", "15"))
        for finish in FINISHES
    )  # fmt: skip
    return SizeTable(
        code, f"Liners in {unit}", "Lathe and Sons", unit, weight_unit, "USD", 3, 5, COLUMNS,
        tuple(tuple(parse_length(size, unit) for size in row) for row in rows),
        default_measures(COLUMNS, unit, weight_unit, weighed=True), parts=parts,
    )  # fmt: skip


# Opening = twice the glass and 5 5/8 in (140 mm); long point = opening and 1 3/4 in (45 mm).
TABLES = {
    "inch": _table("inch", Unit.INCH, WeightUnit.POUND, [
        (f"{glass} 3/8", f"{2 * glass + 6} 3/8", f"{2 * glass + 8} 1/8") for glass in range(14, 25)
    ]),
    "mm": _table("mm", Unit.MM, WeightUnit.KG, [
        (f"{glass}", f"{2 * glass + 140}", f"{2 * glass + 185}") for glass in range(360, 640, 25)
    ]),
}  # fmt: skip


@dataclass
class Verdict:
    """What differs from the expectation; `wrong` are measures placed with a value nobody gave them."""

    problems: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


def judge(sample: dict, read: Message) -> Verdict:
    """Hold one reading against {"expect": {"openings", "contact", "unsure_contains"}}."""
    verdict, expect = Verdict(), sample["expect"]
    wanted = expect.get("openings", [])
    if len(read.openings) != len(wanted):
        verdict.problems.append(f"{len(read.openings)} openings, expected {len(wanted)}")
    for at, opening in enumerate(read.openings):
        _opening(verdict, at, opening, wanted[at] if at < len(wanted) else {"measures": {}})
        for words in opening.words.values():
            if words not in sample["text"]:
                verdict.problems.append(f"{words!r} is not in the message")
    for key, value in expect.get("contact", {}).items():
        if getattr(read.contact, key) != value:
            verdict.problems.append(f"{key} {getattr(read.contact, key)!r}, expected {value!r}")
    for words in expect.get("unsure_contains", []):
        if not any(words in said for said in read.unsure):
            verdict.problems.append(f"{words!r} is not among the unsure {read.unsure}")
    for said in read.unsure:
        if said not in sample["text"]:
            verdict.problems.append(f"{said!r} is not in the message")
    return verdict


def _opening(verdict: Verdict, at: int, opening: ReadOpening, wanted: dict) -> None:
    left = {code: float(value) for code, value in opening.measures.items()}
    for names, value in wanted["measures"].items():
        code = next((c for c in names.split("|") if _same(left.get(c), value)), None)
        if code is None:
            verdict.problems.append(f"opening {at}: {names} {value} was not read")
        else:
            del left[code]
    for code, value in left.items():
        verdict.wrong.append(f"opening {at}: {code} {value}")
        verdict.problems.append(f"opening {at}: {code} {value} was placed and is not said")
    for key, got in (("quantity", opening.quantity), ("finish", opening.finish)):
        if key in wanted and got != wanted[key]:
            verdict.problems.append(f"opening {at}: {key} {got!r}, expected {wanted[key]!r}")


def _same(got: float | None, value: float) -> bool:
    return got is not None and abs(got - float(value)) < 0.001
