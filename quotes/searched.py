"""Rows found by any scrap inside what is searched of them: by their keys where they are a few, else asked one by one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import product
from math import isqrt, prod
from typing import Any

from django.db import models
from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.db.models.lookups import IsNull

from quotes.looking import LONG, Keys, in_each, keys_of, nearly_holding, really_holding, serves
from quotes.scraps import in_scraps
from quotes.triples import SHORTEST
from sizing.numerals import whole_number
from sizing.remembered import remembered
from sizing.standing import KEYS, StandingQuestion, at_once, keys_at_once

# A scrap that more rows hold may be a common one: that depends on how many rows there are (`_is_common`).
COMMON = 1000
# Shorter scraps are often a part of what thousands are called: a first name, a phone's area.
TELLING = 5
# A page of a list that is come by on the way through the newest; more than it shows (sizing.lists.MOST_COUNTED).
A_PAGE = 251
# More keys than so many are not handed to and fro.
MOST_NAMED = 20_000

# How common a scrap is, is told by so many of the newest rows.
SAMPLE = 500
# Two names that are written in two ways each.
MOST_WAYS = 4


@dataclass(frozen=True)
class OnTheWay:
    """Rows that are asked one by one on the way through the newest: the `first(stands, count)` keys of those that
    stand so, and `held()`, what is asked of each."""

    first: Callable[[Any, int], list[int]]
    held: Callable[[], Q]


# Rows that are found: by their keys, or by what is asked of each.
Found = set[int] | Q | OnTheWay


def either(ways: Iterable[Found]) -> Q:
    """Rows that are found in one of these ways; all that are known by their keys are asked for at once."""
    keys: set[int] = set()
    asked = Q()
    for way in ways:
        if isinstance(way, set):
            keys |= way
        else:
            asked |= way.held() if isinstance(way, OnTheWay) else way
    return Q(pk__among=keys) | asked if keys or not asked else asked


def holding(model: type[models.Model], scrap: str) -> Found:
    """Rows of which the searched columns hold the scrap, capital or small.

    A few are looked up at once and named by their keys. What more rows hold is asked of each row instead, on
    the way through a list in its own order: the first page of it comes soon.
    """
    keys = keys_holding(model, scrap)
    return in_each(model, [scrap]) if keys is None else keys


def holding_all(rows: QuerySet, words: Sequence[list[str]]) -> QuerySet:
    """Of these rows those whose scraps hold each of the words (`quotes.scraps.wanted`)."""
    return found_by(rows, ways_of_all(rows.model, words))


def ways_of_all(
    model: type[models.Model], words: Sequence[list[str]], numbers: bool = False
) -> list[list[Found]]:
    """In what ways the scraps of rows hold each of the words; with `numbers` a word may be a row's own number instead."""
    own = [row_numbered(model, choices[0]) if numbers else set[int]() for choices in words]
    names = [one for one, number in zip(words, own, strict=True) if is_name(one) and not number]
    together = keys_holding_names(model, names)
    asked: list[list[Found]] = [] if together is None else [[together]]
    for choices, number in zip(words, own, strict=True):
        if together is None or choices not in names:
            asked.append([*(holding(model, one) for one in in_scraps(choices)), number])
    return asked


def found_by(rows: QuerySet, asked: Iterable[list[Found]]) -> QuerySet:
    """Of these rows those that are found in one of the ways of each word."""
    for ways in asked:
        rows = rows.filter(either(ways)) if any(ways) else rows.none()
    return rows


def known_by(asked: Sequence[list[Found]]) -> set[int] | None:
    """The keys of what is found in one of the ways of each word, if all ways name theirs."""
    if not all(isinstance(way, set) for ways in asked for way in ways):
        return None
    return set.intersection(*(set().union(*ways) for ways in asked)) if asked else None


def keys_holding(model: type[models.Model], *scraps: str) -> set[int] | None:
    """The keys of the rows of `holding` for every scrap; None of more than a few."""
    if long := tuple(scrap for scrap in scraps if len(scrap) >= LONG):
        # A surname by itself tells sooner than with a first name that thousands have.
        for telling in dict.fromkeys([long, scraps]):
            found = nearly_holding(model, telling, COMMON + 1)
            if len(found) <= COMMON:
                return really_holding(model, scraps, _keys(found))
    keys = keys_of(model, scraps)
    if serves(*scraps):
        some = _in_order(keys, model)
    else:
        some = _gathered(keys, model, min(map(len, scraps)))
    return None if some is None or len(some) > MOST_NAMED else _keys(some)


def _in_order(keys: Keys, of: type[models.Model]) -> list[Any] | None:
    """By SQLite's index: how far the first reach tells whether they can be more than a few at all, and the rest are
    behind them."""
    found = keys(COMMON + 1)
    if len(found) > COMMON:
        reach = found[-1][0]
        # A page of so many may be sooner come by on the way through the table's newest rows.
        if reach * quicker_gathered(of) < len(found) * newest(of) and _is_common(keys, of):
            return None
        found += keys(MOST_NAMED - COMMON, reach)
    return found


def _gathered(keys: Keys, of: type[models.Model], shortest: int) -> list[Any] | None:
    """By PostgreSQL's index, which gathers all before it hands over the first, or by none: whether they are more than a
    few is looked at before, of one or two letters and in a large table of what is hardly longer, or else once some
    thousand are there."""
    few = max(COMMON, min(3 * COMMON, quicker_gathered(of)))
    if shortest >= (TELLING if few == 3 * COMMON else SHORTEST):
        found = keys(few + 1)
        if len(found) <= few:
            return found
    return None if _is_common(keys, of) else keys(MOST_NAMED + 1)


def few_holding(model: type[models.Model], most: int, *scraps: str) -> set[int] | None:
    """The keys of the rows that hold every one of these short scraps; None of more than so many."""
    found = keys_of(model, scraps)(most + 1)
    return None if len(found) > most else _keys(found)


def reaching(model: type[models.Model], path: str, scrap: str) -> Found:
    """Rows of another table to which rows of `model` that hold the scrap lead, by `path`."""
    keys = keys_holding(model, scrap)
    if keys is not None:
        return reached(model, path, keys)
    rows = model._default_manager.order_by()
    return Q(Exists(rows.filter(in_each(model, [scrap]), **{path: OuterRef("pk")})))


def reached(model: type[models.Model], path: str, keys: set[int]) -> Found:
    """Rows of another table to which these lead, by `path`.

    Asked after the rows themselves, for what they lead to may be long to read: an issue with all its document.
    """
    found = at_once(_leading(model, path)(keys=keys)) if keys else []
    if len(found) <= MOST_NAMED:
        return _keys(found)
    rows = model._default_manager.filter(pk__among=keys).order_by()
    return Q(Exists(rows.filter(**{path: OuterRef("pk")})))


@cache
def _leading(model: type[models.Model], path: str) -> StandingQuestion:
    rows = model._default_manager.filter(pk__among=KEYS, **{f"{path}__isnull": False}).order_by()
    return StandingQuestion(rows.values_list(path)[: MOST_NAMED + 1])


def _is_common(keys: Keys, of: type[models.Model]) -> bool:
    """Whether so many of this table's rows are among them, as its newest tell."""
    most, every = quicker_gathered(of), newest(of)
    if most <= COMMON:
        return True
    looked_at = min(SAMPLE, every)
    most = most * looked_at // every
    return len(keys(most + 1, every - looked_at)) > most


def _keys(found: Iterable[tuple[Any]]) -> set[Any]:
    return {key for (key,) in found} - {None}


def is_name(choices: Sequence[str]) -> bool:
    """Whether a word of a scrap (`quotes.scraps.wanted`) may be all of a name: no bit of one, nor a number that is
    written in several ways."""
    return all(len(choice) >= SHORTEST for choice in choices) and not (
        len(choices) > 1 and any(choice.isdigit() for choice in choices)
    )


def keys_holding_names(
    model: type[models.Model], names: Sequence[Sequence[str]]
) -> set[int] | None:
    """The keys of the rows that hold every one of two names or more, in one of the ways it is written (ohara,
    o'hara); None of more than a few, of one name, and of too many ways to write them."""
    found: set[int] = set()
    if len(names) < 2 or prod(map(len, names)) > MOST_WAYS:
        return None
    for way in product(
        *([one, *filter(partial(_begins, model), others)] for one, *others in names)
    ):
        keys = keys_holding(model, *way)
        if keys is None:
            return None
        found |= keys
    return found


def _begins(model: type[models.Model], scrap: str) -> bool:
    """Whether anything holds the scrap's beginning, as far as that is told sooner than all of it: most names are written
    in one way alone."""
    return not serves(scrap) or bool(keys_of(model, [scrap[:SHORTEST]])(1))


def numbered(scrap: str) -> set[int]:
    """The key that a scrap may be: a bare number, as long as any row's."""
    key = whole_number(scrap, 12)
    return set() if key is None else {key}


def row_numbered(model: type[models.Model], scrap: str) -> set[int]:
    """As `numbered`, if there is such a row."""
    key = numbered(scrap)
    return set(keys_at_once(_there(model)(keys=key))) if key else set()


@cache
def _there(model: type[models.Model]) -> StandingQuestion:
    return StandingQuestion(
        model._default_manager.filter(pk__among=KEYS).order_by().values_list("pk")
    )


def through(rows: QuerySet, path: str, on_the_way: bool | None = None) -> Found:
    """Rows of another table to which these lead, by `path`: `COMMON` of them by their keys, else as `through_many`."""
    found = at_once(rows.order_by().values_list(path)[: COMMON + 1])
    return _keys(found) if len(found) <= COMMON else through_many(rows, path, on_the_way)


def through_many(rows: QuerySet, path: str, on_the_way: bool | None = None) -> Q:
    """As `through`, for more than `COMMON` rows: gathered inside the database, or where that takes longer each is
    asked `on_the_way` through a list in its own order; None: that is still to be found out."""
    rows = rows.order_by()
    if on_the_way is None:
        most = quicker_gathered(rows.model)
        on_the_way = most <= COMMON or rows.values("pk")[most : most + 1].exists()
    if on_the_way:
        return Q(Exists(rows.filter(**{path: OuterRef("pk")})))
    return Q(pk__in=rows.filter(**{f"{path}__isnull": False}).values(path))


def one_by_one(rows: QuerySet, path: str) -> Q:
    """Rows of another table to which one of these leads, by `path`, asked of each on the way through a list. PostgreSQL
    gathers what is only asked to exist, all of it; what one is found it has to look for each time."""
    found = Subquery(rows.order_by().filter(**{path: OuterRef("pk")}).values("pk")[:1])
    return Q(IsNull(found, False))


def quicker_gathered(model: type[models.Model]) -> int:
    """So many of a table's rows are gathered as fast as a page of them, or of what they lead to there, is come by on
    the way through the newest, where they lie evenly: of n among all, after `A_PAGE` * all / n. In round numbers."""
    most = min(isqrt(A_PAGE * newest(model)), MOST_NAMED)
    rounded = max(most.bit_length() - 3, 0)
    return most >> rounded << rounded


def newest(model: type[models.Model]) -> int:
    """About the newest row's key, as of the last minute: it tells how to look, never what is found. 0 without any."""
    return _newest(model)()


@cache
def _newest(model: type[models.Model]) -> Callable[[], int]:
    asked = StandingQuestion(
        model._default_manager.order_by("-pk").values_list("pk", flat=True)[:1]
    )
    return remembered(model)(lambda: next(iter(asked()), 0))
