"""How long a part takes that nobody has ordered, for who asks "when?" by its number alone."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import CharField
from django.utils import timezone

from ordering.sentences import span
from quotes.lists.prices import lead_time, leaves_between
from quotes.part_numbers import bare, called
from sizing.lookup import in_force_among
from sizing.models import Part
from sizing.near import LEAST, MOST, slips
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


def parts_nearly(scrap: str) -> list[str]:
    """Part numbers in force that are one slip of the pen from what was typed, if that can be a part's at all."""
    typed, there = bare(scrap), called()
    if len(typed) < LEAST or not any(letter.isdigit() for letter in typed):
        return []
    near = {typed} & there.parts.keys() or slips(typed, there.letters) & there.parts.keys()
    if not near:
        return []
    found = Part.objects.filter(pk__in={key for number in near for key in there.parts[number]})
    known = list(found.order_by("part_number").values_list("part_number", "revision"))
    in_force = {one.pk for one in in_force_among({revision for _number, revision in known})}
    return list(dict.fromkeys(number for number, of in known if of in in_force))[:MOST]
