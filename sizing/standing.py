"""Questions to the database that are the same each time: put into SQL once, then asked again and again.

On a page of a few rows putting a question together takes longer than its answer: for the specials that wait
five milliseconds, and one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from copy import copy
from typing import Any, Generic, TypeVar

from django.core.exceptions import EmptyResultSet
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import DateField, Expression, Field, Model, QuerySet
from django.db.models.sql.compiler import SQLCompiler
from django.db.models.sql.query import Query

from sizing.among import told

Row = TypeVar("Row", bound=Model)
# Rows of one fetch; more than any question for keys has.
AT_ONCE = 5000


class Place(Expression):
    """In a question the place of a value that is given with each asking, as a filter's right side.

    `kind` is the value's field; None: keys, for `__among`. `make` makes of the value what the database is told.
    """

    def __init__(
        self, name: str, kind: Field | None = None, make: Callable[[Any], Any] | None = None
    ) -> None:
        super().__init__(kind)
        self.name, self.kind, self.make = name, kind, make

    def as_sql(self, compiler: Any, connection: BaseDatabaseWrapper) -> tuple[str, list[Any]]:
        return "%s", [self]

    def told(self, given: Any, connection: BaseDatabaseWrapper) -> Any:
        """The value as this database takes it; EmptyResultSet among no keys: nothing is asked then."""
        given = self.make(given) if self.make else given
        if self.kind is not None:
            return self.kind.get_db_prep_value(given, connection)
        if not given:
            raise EmptyResultSet
        return told(given, connection)


KEYS = Place("keys")
TODAY = Place("today", DateField())


class StandingQuestion(Generic[Row]):
    """A question whose words never change, and whose values only where a `Place` keeps room for them.

    Called with these by name, it gives its rows as a queryset of their own, to be read: what is made of
    that, as by a filter, is an ordinary one and put together anew.
    """

    def __init__(self, rows: QuerySet[Row]) -> None:
        self._rows = rows
        self._words: dict[str, _Words] = {}

    def __call__(self, **given: Any) -> QuerySet[Row]:
        rows = self._rows.all()
        rows.query.__class__ = _Query
        rows.query.__dict__ |= {"_words": self._words, "_given": given}
        return rows


def at_once(rows: QuerySet) -> list[Any]:
    """The rows of `values_list` as plain tuples, fetched in one go: of a thousand keys a queryset makes a row
    at a time, and takes longer over that than the database over finding them."""
    compiler = rows.query.get_compiler(rows.db)
    return list(compiler.results_iter(chunked_fetch=False, chunk_size=AT_ONCE))


def keys_at_once(rows: QuerySet) -> list[Any]:
    """The one column of `values_list`, so fetched."""
    return [key for (key,) in at_once(rows)]


class Sliced:
    """So many keys of a standing question, the one column of its `values_list`: put together once for each number, of
    which there are few, such as those of a page."""

    def __init__(self, rows: QuerySet) -> None:
        self._rows = rows
        self._asked: dict[tuple[int, int], StandingQuestion] = {}

    def first(self, count: int, **given: Any) -> list[Any]:
        return self._between(0, count, given)

    def more_than(self, most: int, **given: Any) -> bool:
        return bool(self._between(most, most + 1, given))

    def _between(self, since: int, until: int, given: dict[str, Any]) -> list[Any]:
        if (since, until) not in self._asked:
            self._asked[since, until] = StandingQuestion(self._rows[since:until])
        return keys_at_once(self._asked[since, until](**given))


def keep_with(owners: Sequence[Model], name: str, rows: Iterable[Model]) -> None:
    """Each owner's own of these rows, kept with it as `prefetch_related(name)` keeps them; that would put its
    question together anew."""
    field = owners[0]._meta.get_field(name).field
    found: dict[Any, list[Model]] = defaultdict(list)
    for row in rows:
        found[getattr(row, field.attname)].append(row)
    for owner in owners:
        own = getattr(owner, name).all()
        own._result_cache, own._prefetch_done = found[owner.pk], True
        owner.__dict__.setdefault("_prefetched_objects_cache", {})[name] = own
        for row in found[owner.pk]:
            setattr(row, field.name, owner)


class _Words:
    """A question as one database takes it: its SQL, its values and their places, how its columns are read."""

    def __init__(self, compiler: SQLCompiler) -> None:
        self.sql, self.values = compiler.as_sql()
        columns = [column for column, *_said in compiler.select[: compiler.col_count]]
        self.converters = compiler.get_converters(columns)
        self.compiler = compiler
        # A connection belongs to its thread.
        compiler.connection = None

    def asked(self, given: dict[str, Any], connection: BaseDatabaseWrapper) -> SQLCompiler:
        """One that asks with these values and puts nothing together any more."""

        def as_sql() -> tuple[str, tuple[Any, ...]]:
            return self.sql, tuple(
                one.told(given[one.name], connection) if isinstance(one, Place) else one
                for one in self.values
            )

        compiler = copy(self.compiler)
        compiler.connection = connection
        compiler.as_sql = as_sql
        compiler.get_converters = lambda columns: self.converters
        return compiler


class _Query(Query):
    _words: dict[str, _Words]
    _given: dict[str, Any]

    def get_compiler(
        self, using: str | None = None, connection: Any = None, elide_empty: bool = True
    ) -> SQLCompiler:
        if using is None:
            return super().get_compiler(using, connection, elide_empty)
        if using not in self._words:
            self._words[using] = _Words(super().get_compiler(using))
        return self._words[using].asked(self._given, connections[using])

    def clone(self) -> Query:
        plain = super().clone()
        plain.__class__ = Query
        del plain._words, plain._given
        return plain
