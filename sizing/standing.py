"""Questions to the database that are the same each time: put into SQL once, then asked again and again.

On a page of a few rows putting a question together takes longer than its answer: for the specials that wait
five milliseconds, and one.
"""

from __future__ import annotations

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


class Place(Expression):
    """In a question the place of a value that is given with each asking, as a filter's right side.

    `kind` is the value's field; None: keys, for `__among`.
    """

    def __init__(self, name: str, kind: Field | None = None) -> None:
        super().__init__(kind)
        self.name, self.kind = name, kind

    def as_sql(self, compiler: Any, connection: BaseDatabaseWrapper) -> tuple[str, list[Any]]:
        return "%s", [self]

    def told(self, given: Any, connection: BaseDatabaseWrapper) -> Any:
        """The value as this database takes it; EmptyResultSet among no keys: nothing is asked then."""
        if self.kind is not None:
            return self.kind.get_db_prep_value(given, connection)
        if not given:
            raise EmptyResultSet
        return told(given, connection)


KEYS = Place("keys")
TODAY = Place("today", DateField())


class Standing(Generic[Row]):
    """A question whose words never change, and whose values only where a `Place` keeps room for them.

    Called with these by name, it gives its rows as a queryset of their own, to be read: what is made of
    that, as by a filter, is an ordinary one and put together anew.
    """

    def __init__(self, rows: QuerySet[Row]) -> None:
        self._rows = rows
        self._sql: dict[str, _Sql] = {}

    def __call__(self, **given: Any) -> QuerySet[Row]:
        rows = self._rows.all()
        rows.query.__class__ = _Query
        rows.query.__dict__ |= {"_sql": self._sql, "_given": given}
        return rows


# A compiler that has done its work, and what came of it.
_Sql = tuple[SQLCompiler, str, tuple[Any, ...]]


class _Query(Query):
    _sql: dict[str, _Sql]
    _given: dict[str, Any]

    def get_compiler(
        self, using: str | None = None, connection: Any = None, elide_empty: bool = True
    ) -> SQLCompiler:
        if using is None:
            return super().get_compiler(using, connection, elide_empty)
        if using not in self._sql:
            done = super().get_compiler(using)
            self._sql[using] = done, *done.as_sql()
        done, sql, values = self._sql[using]
        compiler = copy(done)
        # A connection belongs to its thread.
        compiler.connection = here = connections[using]

        def as_sql() -> tuple[str, tuple[Any, ...]]:
            return sql, tuple(
                one.told(self._given[one.name], here) if isinstance(one, Place) else one
                for one in values
            )

        compiler.as_sql = as_sql
        return compiler

    def clone(self) -> Query:
        plain = super().clone()
        plain.__class__ = Query
        del plain._sql, plain._given
        return plain
