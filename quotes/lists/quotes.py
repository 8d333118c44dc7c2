"""Quotes found by any scrap of what they hold, and narrowed by how they stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django.db.models import Q, QuerySet

from quotes.lists.issue_states import standing_so
from quotes.models import Customer, Quote, QuoteLine, Request
from quotes.scraps import wanted
from quotes.searched import (
    COMMON,
    SHORTEST,
    Found,
    at_most_common,
    either,
    is_name,
    numbered,
    reaching,
    through,
)
from sizing.lists import between
from sizing.models import Part
from sizing.remembered import remembered
from sizing.standing import KEYS, StandingQuestion


def find_quotes(scrap: str = "") -> QuerySet[Quote]:
    """Quotes that hold every word of the scrap: the number, the customer, a part, a line's words.

    Where there are none, what was noted of their call is looked at, too.
    """
    words = wanted(scrap)
    asked = [[way for choice in choices for way in _ways(choice)] for choices in words]
    alone = [
        choices[0]
        for choices, ways in zip(words, asked, strict=True)
        if is_name(choices) and not any(ways)
    ]
    # What stands in nothing else has to stand with one customer, all of it: few do, of whom many share a first name.
    theirs = reaching(Customer, "quotes", *alone) if len(alone) > 1 else None
    for choices, ways in zip(words, asked, strict=True):
        if theirs is not None and choices[0] in alone:
            ways.append(theirs)
        else:
            ways += [reaching(Customer, "quotes", one) for one in choices]
    found = _found_by(asked)
    # Of one word that more than a few hold nobody need ask whether there are any.
    if not words or (len(asked) == 1 and any(isinstance(way, Q) for way in asked[0])):
        return found
    if not found.query.is_empty() and found.exists():
        return found
    for ways, choices in zip(asked, words, strict=True):
        ways += [reaching(Request, "quotes", one) for one in choices if len(one) >= SHORTEST]
    return _found_by(asked)


def _found_by(asked: list[list[Found]]) -> QuerySet[Quote]:
    """Quotes that are found in one of the ways of each word."""
    found = Quote.objects.order_by("-pk")
    for ways in asked:
        found = found.filter(either(ways)) if any(ways) else found.none()
    return found


def _ways(scrap: str) -> Iterator[Found]:
    """Besides its customer."""
    yield reaching(QuoteLine, "issue__quote", scrap)
    yield _with_part(scrap)
    yield numbered(scrap)


@remembered(Part)
def _part_numbers() -> list[tuple[int, str]]:
    """(key, number) of every part there is, in small letters."""
    parts = Part.objects.exclude(part_number="").values_list("pk", "part_number")
    return [(key, number.casefold()) for key, number in parts]


def _with_part(scrap: str) -> Found:
    """Quotes with a part whose number holds the scrap."""
    wanted_part = scrap.casefold()
    parts = {key for key, number in _part_numbers() if wanted_part in number}
    quotes = at_most_common(_WITH_PARTS(keys=parts)) if len(parts) <= COMMON else None
    if quotes is not None:
        return quotes
    return through(QuoteLine.objects.filter(part__pk__among=parts), "issue__quote")


_WITH_PARTS = StandingQuestion(
    QuoteLine.objects.filter(part__pk__among=KEYS)
    .order_by()
    .values_list("issue__quote")[: COMMON + 1]
)


def narrowed(found: QuerySet[Quote], said: Mapping[str, Any]) -> QuerySet[Quote]:
    """Of the quotes found, those of the customer, whose last issue stands so, with a part of the family, begun on
    these days."""
    if said["customer"]:
        found = found.filter(customer=said["customer"])
    if said["stands"]:
        found = standing_so(found, said["stands"])
    if said["family"]:
        parts = QuoteLine.objects.filter(part__revision__family__code=said["family"])
        openings = QuoteLine.objects.filter(openings__family__code=said["family"])
        found = found.filter(either(through(lines, "issue__quote") for lines in (parts, openings)))
    return found.filter(between("created_at", said["since"], said["until"]))
