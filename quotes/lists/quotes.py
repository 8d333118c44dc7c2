"""Quotes found by any scrap of what they hold, and narrowed by how they stand."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from os.path import commonprefix
from typing import Any

from django.db import connection
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from quotes.lists.issue_states import (
    Word,
    all_standing_so,
    any_given_up,
    has_newer_out,
    standing_so,
)
from quotes.models import Customer, Issue, Quote, QuoteLine, Request
from quotes.scraps import in_scraps, plain, wanted
from quotes.searched import (
    COMMON,
    SHORTEST,
    Found,
    OnTheWay,
    either,
    is_name,
    keys_holding_names,
    numbered,
    one_by_one,
    quicker_gathered,
    reached,
    reaching,
    through,
    through_many,
)
from sizing.lists import between
from sizing.lookup import family_key
from sizing.models import Part
from sizing.remembered import remembered
from sizing.rows import Rows, first_keys, rows_of
from sizing.standing import KEYS, Sliced, StandingQuestion, at_once, keys_at_once


def find_quotes(scrap: str = "") -> Rows:
    """Quotes that hold every word of the scrap, the newest first: the number, the customer, a part, a line's words.

    Where there are none, what was noted of their call is looked at, too.
    """
    words = wanted(scrap)
    asked = [[way for choice in choices for way in _ways(choice)] for choices in words]
    alone = [
        choices
        for choices, ways in zip(words, asked, strict=True)
        if is_name(choices) and not any(ways)
    ]
    _add(Customer, asked, words, alone)
    found = Rows(partial(_first_of, asked), partial(_found_by, asked))
    # Of one word nobody need ask again.
    if not words or (any(asked[0]) if len(asked) == 1 else found.first(1)):
        return found
    _add(Request, asked, words, alone, shortest=SHORTEST)
    return found


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


def _first_of(asked: list[list[Found]], count: int) -> list[int]:
    """The first keys of `_found_by`; its question is put together only where they do not follow without."""
    ways = [[way for way in one if not isinstance(way, set)] for one in asked]
    known = [set().union(*(way for way in one if isinstance(way, set))) for one in asked]
    if asked and not any(ways):
        return sorted(set.intersection(*known), reverse=True)[:count]
    if len(asked) == 1 and all(isinstance(way, OnTheWay) for way in ways[0]):
        keys = known[0].union(*(way.first(count) for way in ways[0]))
        return sorted(keys, reverse=True)[:count]
    return first_keys(_found_by(asked), count)


def _found_by(asked: list[list[Found]]) -> QuerySet[Quote]:
    """Quotes that are found in one of the ways of each word."""
    found = Quote.objects.order_by("-pk")
    for ways in asked:
        found = found.filter(either(ways)) if any(ways) else found.none()
    return found


def _ways(scrap: str) -> Iterator[Found]:
    """Besides its customer."""
    if len(scrap) >= SHORTEST:
        yield reaching(QuoteLine, "issue__quote", scrap)
    yield _with_part(scrap)
    key = numbered(scrap)
    yield set(keys_at_once(_THERE(keys=key))) if key else set()


_THERE = StandingQuestion(Quote.objects.filter(pk__among=KEYS).order_by().values_list("pk"))


@dataclass(frozen=True)
class _Numbers:
    """The part numbers of one revision, without marks, by their keys; `head`: how all of them begin; `one_by_one`:
    all of them, to see of most scraps at once that none holds it."""

    parts: dict[int, str]
    head: str
    one_by_one: str


@remembered(Part)
def _part_numbers() -> dict[int, _Numbers]:
    """{revision: its part numbers} of every part there is."""
    found: dict[int, dict[int, str]] = defaultdict(dict)
    named = Part.objects.exclude(part_number="").order_by()
    for revision, key, number in named.values_list("revision", "pk", "part_number"):
        found[revision][key] = _bare(number)
    return {
        # Letter by letter is what is wanted: these are no paths.
        revision: _Numbers(parts, commonprefix(list(parts.values())), "\n".join(parts.values()))  # noqa: RUF071
        for revision, parts in found.items()
    }


def _bare(number: str) -> str:
    """Letters and digits alone: of "B-854-2" the words of a scrap keep B-8542, as of a phone's number."""
    return re.sub(r"[\W_]", "", plain(number))


def _with_part(scrap: str) -> Found:
    """Quotes with a part whose number holds the scrap."""
    wanted_part = _bare(scrap)
    parts: set[int] = set()
    whole, others = set(), False
    for revision, numbers in _part_numbers().items() if wanted_part else ():
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
        return OnTheWay(partial(_first_with, told), partial(_led_to, told, True))
    if _LINES[path].more_than(COMMON, keys=keys):
        return _led_to(told, False)
    lines = set(_LINES[path].first(COMMON, keys=keys))
    return reached(QuoteLine, "issue__quote", lines)


# By what lines are told: the path of it, and its keys.
_Told = tuple[str, set[int]]


def _first_with(told: _Told, count: int) -> list[int]:
    path, keys = told
    return _ON_THE_WAY[path].first(count, keys=keys)


def _led_to(told: _Told, on_the_way: bool) -> Q:
    path, keys = told
    lines = QuoteLine.objects.filter(**{f"{path}__among": keys})
    return through_many(lines, "issue__quote", on_the_way)


_HELD = {
    path: QuoteLine.objects.filter(**{f"{path}__among": KEYS}).order_by()
    for path in ("part__revision__pk", "part__pk")
}
_LINES = {path: Sliced(lines.values_list("pk")) for path, lines in _HELD.items()}
_ON_THE_WAY = {
    path: Sliced(
        Quote.objects.filter(one_by_one(lines, "issue__quote")).order_by("-pk").values_list("pk")
    )
    for path, lines in _HELD.items()
}


def quotes_asked_for(said: Mapping[str, Any]) -> Rows:
    """Quotes with all the words, narrowed by all else that is said."""
    asked = {name for name, value in said.items() if value}
    found = find_quotes(said["q"])
    if asked <= {"q"}:
        return found

    def every() -> QuerySet[Quote]:
        return narrowed(found.every(), said)

    if asked == {"stands"}:
        return Rows(partial(_first_standing_so, said["stands"]), every)
    if asked == {"family"}:
        return Rows(partial(_first_of, [_of_family(said["family"])]), every)
    return rows_of(every())


def _first_standing_so(word: Word, count: int) -> list[int]:
    today = timezone.localdate()
    return all_standing_so(word, any_given_up(today)).first(count, today=today)


def narrowed(found: QuerySet[Quote], said: Mapping[str, Any]) -> QuerySet[Quote]:
    """Of the quotes found, those of the customer, whose last issue stands so, with a part of the family, begun by
    this person, on these days."""
    if said["customer"]:
        found = found.filter(customer=said["customer"])
    if said["stands"]:
        today = timezone.localdate()
        found = standing_so(found, said["stands"], today, any_given_up(today))
    if said["family"]:
        found = found.filter(either(_of_family(said["family"])))
    if said["by"]:
        found = found.filter(taken_by=said["by"])
    return found.filter(between("created_at", said["since"], said["until"]))


def _of_family(code: str) -> list[Found]:
    """Quotes with a part of the family, or with a special for an opening of it."""
    family = family_key(code)
    parts = Part.objects.filter(revision__family=family).order_by()
    keys = dict(at_once(parts.values_list("pk", "revision")))
    specials = QuoteLine.objects.filter(part=None, openings__family=family)
    return [_with_parts(set(keys), set(keys.values())), through(specials, "issue__quote")]


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
