"""The lists of the size tables: what narrows them and their columns, for the page, the CSV and the workbook."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from sizing import lookup
from sizing.columns import Column
from sizing.find_fields import Find, choice_field, words_field
from sizing.lengths import PER_INCH, PER_MM, Unit
from sizing.lists import Listing
from sizing.models import Revision
from sizing.table import Part, SizeTable
from sizing.weights import Weight, to_decimal


class FamiliesFind(Find):
    q = words_field("Find by family, code or factory", accesskey="f")
    stands = choice_field(
        "Stands", [("in-force", "in force"), ("none", "none in force"), ("draft", "a draft waits")]
    )


class PartsFind(Find):
    q = words_field("Find by part number, finish or weight class", accesskey="f")
    offered = choice_field("Offered", [("yes", "offered"), ("no", "not offered")])
    # Which revision is shown stays in the address while the parts are narrowed.
    revision = words_field("Revision (number)")


def _counts(revision: Revision | None) -> str:
    return f"revision {revision.number}" if revision else "none"


FAMILIES = Listing(
    "families",
    "Families",
    (
        Column("Family", lambda state: state.family.name),
        Column("Code", lambda state: state.family.code),
        Column("Factory", lambda state: state.family.factory.name),
        Column("In force", lambda state: _counts(state.now)),
        Column("From", lambda state: state.now.in_force_from if state.now else None, shown=False),
        Column("Later", lambda state: _counts(state.next) if state.next else ""),
    ),
    a_page=None,
)


def families(said: Mapping[str, Any]) -> list[lookup.FamilyState]:
    """Families with all the words that stand so."""
    return [
        state
        for state in lookup.family_states()
        if all(word in _words_of(state) for word in said["q"].casefold().split())
        and {
            "": True,
            "in-force": state.now is not None,
            "none": state.now is None,
            "draft": state.draft is not None,
        }[said["stands"]]
    ]


def _words_of(state: lookup.FamilyState) -> str:
    family = state.family
    return f"{family.name} {family.code} {family.factory.name}".casefold()


def parts_asked_for(table: SizeTable, said: Mapping[str, Any]) -> list[Part]:
    """The table's parts with all the words in their number, finish or class, offered or not."""
    words = said["q"].casefold().split()
    order = sorted(range(len(table.rows)), key=table.rows.__getitem__)
    return [
        part
        for row in order
        for part in table.parts_of_row(row)
        if all(
            w in f"{part.part_number} {part.finish} {part.weight_class}".casefold() for w in words
        )
        and said["offered"] in ("", "yes" if part.part_number else "no")
    ]


def parts_listing(table: SizeTable | None, code: str) -> Listing:
    """A line for each part: its sizes and weights as decimals of the table's units, its number and price."""
    if table is None:
        return Listing(f"parts-{code}", "Parts", ())
    per = PER_INCH if table.unit is Unit.INCH else PER_MM

    def size(place: int) -> Column:
        def value(part: Part) -> Decimal:
            return round(Decimal(table.rows[part.row][place]) / per, 4)

        return Column(f"{table.columns[place].label}, {table.unit}", value, figure=True)

    def weight(name: str, words: str) -> Column:
        def value(part: Part) -> Decimal | None:
            stored = getattr(part, name)
            return None if stored is None else to_decimal(Weight(stored), table.weight_unit)

        return Column(f"{words}, {table.weight_unit}", value, figure=True)

    kinds = {
        "weight_class": Column("Class", lambda part: part.weight_class),
        "weight_min": weight("weight_min", "Sash weight from"),
        "weight_max": weight("weight_max", "Sash weight to"),
        "finish": Column("Finish", lambda part: part.finish),
    }
    return Listing(
        f"parts-{code}",
        f"Parts of {table.name}",
        (
            *(size(place) for place in range(len(table.columns))),
            *(column for name, column in kinds.items() if table.has(name)),
            Column("Part", lambda part: part.part_number or "not offered"),
            Column(f"Price, {table.currency}", lambda part: part.price, figure=True),
        ),
        a_page=None,
    )
