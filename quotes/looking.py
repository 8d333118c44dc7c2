"""How each database looks into texts: SQLite by its index of triples, PostgreSQL by its own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache, reduce
from operator import and_, or_
from typing import Any

from django.db import connections, models
from django.db.models import F, Q, TextField, Value
from django.db.models.functions import Concat
from django.db.models.lookups import Contains, IContains

from quotes.triples import PLAIN, SEARCHED, SHORTEST, table_of
from sizing.standing import KEYS, StandingQuestion, at_once

# A scrap as long is looked for by some of its triples first.
LONG = 7

# (most, behind) -> so many keys of rows at most, of those behind a key.
Keys = Callable[..., list[Any]]


def keys_of(model: type[models.Model], scraps: Sequence[str]) -> Keys:
    """What gives the keys of the rows that hold all of these."""
    return (_matching if serves(*scraps) else _asked)(model, scraps)


def _asked(model: type[models.Model], scraps: Iterable[str]) -> Keys:
    """As `_matching`, without the index of SQLite."""
    scraps = list(scraps)
    every = model._default_manager.order_by().values_list("pk")

    def keys(most: int, behind: int = 0) -> list[Any]:
        if behind:
            # The newest, one by one: by its index PostgreSQL gathered all that hold a common scrap first.
            rows = every.filter(in_each(model, scraps, _one_by_one), pk__gt=behind)
        else:
            rows = every.filter(in_each(model, scraps))
        return at_once(rows[:most])

    return keys


def serves(*scraps: str) -> bool:
    """Whether SQLite's index of triples does: no short scrap. PostgreSQL's takes the words of every question."""
    return connections["default"].vendor == "sqlite" and all(
        len(scrap) >= SHORTEST and "\0" not in scrap for scrap in scraps
    )


def _matching(model: type[models.Model], strings: Iterable[str]) -> Keys:
    """What gives the keys of the rows that hold all of these, by SQLite's index of triples."""
    table = table_of(model)
    # The table's name is ours.
    asked = f"SELECT rowid FROM {table} WHERE {table} MATCH %s AND rowid > %s LIMIT %s"  # noqa: S608
    # Each as a string of FTS5; strings side by side are all wanted.
    wanted = " ".join('"' + string.replace('"', '""') + '"' for string in strings)

    def keys(most: int, behind: int = 0) -> list[Any]:
        # The index's own words: every search asks this for each word, and the ORM took longer over it than SQLite.
        with connections["default"].cursor() as cursor:
            return cursor.execute(asked, [wanted, behind, most]).fetchall()

    return keys


def nearly_holding(model: type[models.Model], scraps: Sequence[str], most: int) -> list[Any]:
    """So many keys at most of rows that hold what tells the scraps."""
    if not serves(*scraps):
        return _asked(model, [_telling(scrap) for scrap in scraps])(most)
    return _matching(model, (three for scrap in scraps for three in _threes(scrap)))(most)


def _telling(scrap: str) -> str:
    """The part of a long scrap, up to three triples, by which it is looked for: a number tells itself from others
    by its end, a word by its beginning. Every customer has the rest, of a mail's end and a phone's area, and to go
    along all of it took milliseconds on either engine."""
    if len(scrap) < LONG:
        return scrap
    length = 3 * min(3, len(scrap) // 3)
    return scrap[-length:] if scrap.isdigit() else scrap[:length]


def _threes(scrap: str) -> list[str]:
    """What tells it, as triples side by side; a short one as it is."""
    if len(scrap) < LONG:
        return [scrap]
    piece = _telling(scrap)
    return [piece[at : at + 3] for at in range(0, len(piece), 3)]


def really_holding(model: type[models.Model], scraps: Sequence[str], near: set[int]) -> set[int]:
    """Of these rows, which hold some triples of the scraps, those that hold the scraps."""
    wanted = [scrap.lower() for scrap in scraps]
    return {
        key
        for key, *texts in at_once(_texts(model)(keys=near))
        if all(any(scrap in text.lower() for text in texts) for scrap in wanted)
    }


@cache
def _texts(model: type[models.Model]) -> StandingQuestion:
    """(key, text of each searched column) of some rows."""
    rows = model._default_manager.filter(pk__among=KEYS).order_by()
    return StandingQuestion(rows.values_list("pk", *SEARCHED[model]))


def in_each(model: type[models.Model], scraps: Iterable[str], read: Callable[[str], Any] = F) -> Q:
    """Each of the scraps in one of the columns, by an index where `read` leaves them as they are."""
    return reduce(and_, (reduce(or_, _in_columns(model, scrap, read)) for scrap in scraps))


def _in_columns(model: type[models.Model], scrap: str, read: Callable[[str], Any]) -> Iterator[Q]:
    for column in SEARCHED[model]:
        plain = column in PLAIN
        yield Q(Contains(read(column), scrap.lower()) if plain else IContains(read(column), scrap))


def _one_by_one(column: str) -> Concat:
    """The column's text as no index has it."""
    return Concat(column, Value(""), output_field=TextField())
