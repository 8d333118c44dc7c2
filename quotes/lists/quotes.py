"""Quotes found by any scrap of what they hold, and narrowed by how they stand."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import cache, partial
from heapq import nlargest
from typing import Any

from django.db import connection
from django.db.models import BigIntegerField, Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from quotes.lists.issue_states import (
    Word,
    any_given_up,
    has_newer_out,
    standing_so,
)
from quotes.models import Customer, Issue, Quote, QuoteLine, Request
from quotes.part_numbers import bare, part_numbers
from quotes.scraps import in_scraps, wanted
from quotes.searched import (
    COMMON,
    SHORTEST,
    Found,
    OnTheWay,
    either,
    found_by,
    is_name,
    keys_holding_names,
    known_by,
    numbered,
    one_by_one,
    quicker_gathered,
    reached,
    reaching,
    row_numbered,
    through_many,
)
from sizing.lists import between
from sizing.lookup import family_key
from sizing.models import Part
from sizing.rows import Rows, first_keys, rows_of
from sizing.standing import KEYS, TODAY, Place, Sliced, StandingQuestion, at_once


def find_quotes(scrap: str = "") -> Rows:
    """Quotes that hold every word of the scrap, the newest first: the number, the customer, a part, a line's words.

    Where there are none, what was noted of their call is looked at, too.
    """
    asked = _asked_for(scrap)
    return Rows(partial(_first_of, asked, None), partial(_found_by, asked))


def _asked_for(scrap: str) -> list[list[Found]]:
    """The ways in which each word of `find_quotes` is found."""
    words = wanted(scrap)
    asked = [[way for choice in choices for way in _ways(choice)] for choices in words]
    alone = [
        choices
        for choices, ways in zip(words, asked, strict=True)
        if is_name(choices) and not any(ways)
    ]
    _add(Customer, asked, words, alone)
    # Of one word nobody need ask again.
    if words and not (any(asked[0]) if len(asked) == 1 else _first_of(asked, None, 1)):
        _add(Request, asked, words, alone, shortest=SHORTEST)
    return asked


def quotes_numbered(scrap: str) -> QuerySet[Quote]:
    """The quote whose number the scrap is: of one or two letters while somebody types nothing else is asked."""
    return Quote.objects.filter(either([numbered(scrap)]))


def _add(
    model: type[Customer | Request],
    asked: list[list[Found]],
    words: list[list[str]],
    alone: list[list[str]],
    shortest: int = 1,
) -> None:
    """To the ways of each word quotes of whom, or from which call, holds it.

    What stands in nothing else has to stand in one, all of it: few do, of whom many share a first name.
    """
    together = keys_holding_names(model, alone)
    for choices, ways in zip(words, asked, strict=True):
        if together is not None and choices in alone:
            ways.append(reached(model, "quotes", together))
        else:
            held = (one for one in in_scraps(choices) if len(one) >= shortest)
            ways += [reaching(model, "quotes", one) for one in held]


def _first_of(asked: list[list[Found]], stands: Word | None, count: int) -> list[int]:
    """The first keys of `_found_by` that stand so; their question is put together only where they do not follow
    without."""
    if not asked:
        return _newest("all", stands, count)
    known = known_by(asked)
    if known is not None:
        return _first_among(known, stands, count)
    if len(asked) == 1 and all(isinstance(way, set | OnTheWay) for way in asked[0]):
        keys = {
            key
            for way in asked[0]
            for key in (
                way.first(stands, count)
                if isinstance(way, OnTheWay)
                else _first_among(way, stands, count)
            )
        }
        return nlargest(count, keys)
    found = _found_by(asked)
    return first_keys(_standing_so(found, stands) if stands else found, count)


def _first_among(keys: set[int], stands: Word | None, count: int) -> list[int]:
    if not stands or not keys:
        return nlargest(count, keys)
    return _newest("keys", stands, count, keys=keys)


def _found_by(asked: list[list[Found]]) -> QuerySet[Quote]:
    return found_by(Quote.objects.order_by("-pk"), asked)


def _ways(scrap: str) -> Iterator[Found]:
    """Besides its customer."""
    if len(scrap) >= SHORTEST:
        yield reaching(QuoteLine, "issue__quote", scrap)
    yield _with_part(scrap)
    yield row_numbered(Quote, scrap)


def _with_part(scrap: str) -> Found:
    """Quotes with a part whose number holds the scrap."""
    wanted_part = bare(scrap)
    parts: set[int] = set()
    whole, others = set(), False
    for revision, numbers in part_numbers().items() if wanted_part else ():
        if wanted_part in numbers.head:
            whole.add(revision)
            parts.update(numbers.parts)
        elif wanted_part in numbers.one_by_one:
            others = True
            parts |= {key for key, number in numbers.parts.items() if wanted_part in number}
    # Three letters begin every number of a family, thousands of them: those are told by their revisions.
    return _with_parts(parts, set() if others else whole)


def _with_parts(parts: set[int], revisions: set[int]) -> Found:
    """Quotes with one of these parts; if there are revisions, they are all of theirs."""
    told: _Told = ("part__revision__pk", revisions) if revisions else ("part__pk", parts)
    # PostgreSQL has counted the lines of each part, not of revisions: by those it went through all lines there are.
    path, keys = ("part__pk", parts) if connection.vendor == "postgresql" else told
    # To count a thousand lines takes a fifth of the time of handing them over.
    if _LINES[path].more_than(max(quicker_gathered(QuoteLine), COMMON), keys=keys):
        return OnTheWay(partial(_newest, told[0], keys=told[1]), partial(_led_to, told, True))
    if _LINES[path].more_than(COMMON, keys=keys):
        return _led_to(told, False)
    lines = set(_LINES[path].first(COMMON, keys=keys))
    return reached(QuoteLine, "issue__quote", lines)


# By what lines are told: the path of it, and its keys.
_Told = tuple[str, set[int]]


def _led_to(told: _Told, on_the_way: bool) -> Q:
    path, keys = told
    lines = QuoteLine.objects.filter(**{f"{path}__among": keys})
    return through_many(lines, "issue__quote", on_the_way)


_HELD = {
    path: QuoteLine.objects.filter(**{f"{path}__among": KEYS}).order_by()
    for path in ("part__revision__pk", "part__pk")
}
_LINES = {path: Sliced(lines.values_list("pk")) for path, lines in _HELD.items()}
# Quotes of which the newest are asked for: all, those of some keys, those with parts that are told so.
_OF = {
    "all": Quote.objects.all(),
    "keys": Quote.objects.filter(pk__among=KEYS),
    **{
        path: Quote.objects.filter(one_by_one(lines, "issue__quote"))
        for path, lines in _HELD.items()
    },
}


def _newest(of: str, stands: Word | None, count: int, keys: Collection[int] = ()) -> list[int]:
    """The newest of these quotes that stand so."""
    today = timezone.localdate()
    given_up = stands is not None and any_given_up(today)
    return _sliced(of, stands, given_up).first(count, keys=keys, today=today)


@cache
def _sliced(of: str, stands: Word | None, given_up: bool) -> Sliced:
    found = _OF[of].order_by("-pk")
    if stands:
        found = standing_so(found, stands, TODAY, given_up)
    return Sliced(found.values_list("pk"))


def quotes_asked_for(said: Mapping[str, Any]) -> Rows:
    """Quotes with all the words, narrowed by all else that is said."""
    narrowing = {name for name, value in said.items() if value and name != "q"}
    asked = _asked_for(said["q"])

    def every() -> QuerySet[Quote]:
        return narrowed(_found_by(asked), said)

    if narrowing - {"stands", "family"}:
        return rows_of(every())
    of_family = [_of_family(said["family"])] if said["family"] else []
    return Rows(partial(_first_of, asked + of_family, said["stands"] or None), every)


def narrowed(found: QuerySet[Quote], said: Mapping[str, Any]) -> QuerySet[Quote]:
    """Of the quotes found, those of the customer, whose last issue stands so, with a part of the family, begun by
    this person, on these days."""
    if said["customer"]:
        found = found.filter(customer=said["customer"])
    if said["stands"]:
        found = _standing_so(found, said["stands"])
    if said["family"]:
        found = found.filter(either(_of_family(said["family"])))
    if said["by"]:
        found = found.filter(taken_by=said["by"])
    return found.filter(between("created_at", said["since"], said["until"]))


def _standing_so(found: QuerySet[Quote], stands: Word) -> QuerySet[Quote]:
    today = timezone.localdate()
    return standing_so(found, stands, today, any_given_up(today))


def _of_family(code: str) -> list[Found]:
    """Quotes with a part of the family, or with a special for an opening of it."""
    family = family_key(code)
    parts = dict(at_once(_PARTS(family=family)))
    specials = _SPECIALS.first(COMMON + 1, family=family)
    few = len(specials) <= COMMON
    return [
        _with_parts(set(parts), set(parts.values())),
        set(specials) if few else through_many(_specials_of(family), "issue__quote"),
    ]


def _specials_of(family: int | Place) -> QuerySet[QuoteLine]:
    return QuoteLine.objects.filter(part=None, openings__family=family).order_by()


_FAMILY = Place("family", BigIntegerField())
_PARTS = StandingQuestion(
    Part.objects.filter(revision__family=_FAMILY).order_by().values_list("pk", "revision")
)
_SPECIALS = Sliced(_specials_of(_FAMILY).values_list("issue__quote"))


def open_with_parts_of(revision: int) -> QuerySet[Quote]:
    """Quotes that can still become an order with a part of that edition of a size table, the newest first: a draft,
    what is out and has not lapsed, what is accepted and not placed yet."""
    lines = QuoteLine.objects.filter(issue=OuterRef("pk"), part__revision=revision)
    still = Q(valid_until=None) | Q(valid_until__gte=timezone.localdate())
    issues = Issue.objects.filter(
        Q(still, ~has_newer_out(), quote__acceptance=None) | Q(acceptance__waits=True),
        Exists(lines),
    )
    return Quote.objects.filter(pk__in=issues.order_by().values("quote")).order_by("-pk")
