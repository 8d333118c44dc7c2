"""How long a part takes that nobody has ordered, for who asks "when?" by its number alone."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils import timezone

from ordering.sentences import span
from quotes.lists.prices import lead_time, leaves_between
from sizing.lookup import all_in_force
from sizing.models import Part


@dataclass(frozen=True)
class PartAnswer:
    """One part of a table in force, as it is read out."""

    part: Part
    sentence: str
    basis: str


def part_answers(scrap: str, most: int) -> list[PartAnswer]:
    """At most so many parts in force whose whole number was typed, letter case apart as it is usually typed."""
    number = " ".join(scrap.replace("\0", "").split())
    if not number:
        return []
    tables = {revision.pk: revision for revision in all_in_force()}
    found = Part.objects.filter(
        revision__in=tables, part_number__in={number, number.upper(), number.lower()}
    )
    today, answers = timezone.localdate(), []
    for part in found.order_by("pk")[:most]:
        table = tables[part.revision_id]
        first, last = leaves_between(table, part.part_number, today)
        answers.append(
            PartAnswer(
                part,
                f"{part.part_number}, {table.family.name}: ordered today, it should leave the factory "
                f"{span(first, last, today)}.",
                lead_time(table, part.part_number),
            )
        )
    return answers
