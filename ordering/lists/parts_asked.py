"""How long a part takes that nobody has ordered, for who asks "when?" by its number alone."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import CharField
from django.utils import timezone

from ordering.sentences import span
from quotes.lists.prices import lead_time, leaves_between
from sizing.lookup import in_force_among
from sizing.models import Part
from sizing.standing import Place, StandingQuestion


@dataclass(frozen=True)
class PartAnswer:
    """One part of a table in force, as it is read out."""

    part: Part
    sentence: str
    basis: str


_CALLED = StandingQuestion(
    Part.objects.filter(
        part_number__in=[Place(way, CharField()) for way in ("number", "upper", "lower")]
    ).order_by("pk")
)


def part_answers(scrap: str, most: int) -> list[PartAnswer]:
    """At most so many parts in force whose whole number was typed, letter case apart as it is usually typed."""
    number = " ".join(scrap.replace("\0", "").split())
    if not number:
        return []
    found = list(_CALLED(number=number, upper=number.upper(), lower=number.lower()))
    tables = {one.pk: one for one in in_force_among({part.revision_id for part in found})}
    today, answers = timezone.localdate(), []
    for part in [part for part in found if part.revision_id in tables][:most]:
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
