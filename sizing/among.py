"""A question to the database: `pk__among=keys`, rows with one of these keys. `sizing.apps` makes it known."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Lookup


class Among(Lookup):
    """`pk__among=keys`: one of these, told to the database as one value. A thousand take longer to be bound
    one by one than to be looked up."""

    lookup_name = "among"

    def get_prep_lookup(self) -> Any:
        return sorted(self.rhs) if self.rhs_is_direct_value() else self.rhs

    def as_sql(self, compiler: Any, connection: BaseDatabaseWrapper) -> tuple[str, list[Any]]:
        column, params = self.process_lhs(compiler, connection)
        if not self.rhs_is_direct_value():
            keys, named = compiler.compile(self.rhs)
        elif self.rhs:
            keys, named = "%s", [told(self.rhs, connection)]
        else:
            raise EmptyResultSet
        if connection.vendor == "postgresql":
            return f"{column} = ANY({keys}::bigint[])", [*params, *named]
        # The column's name is Django's own.
        sql = f"{column} IN (SELECT value FROM json_each({keys}))"  # noqa: S608  # nosec B608
        return sql, [*params, *named]


def told(keys: Iterable[int], connection: BaseDatabaseWrapper) -> str:
    """Keys as one value of this database, in its own writing: psycopg writes a list key by key, which took longer
    than the answer."""
    written = json.dumps(sorted(keys))
    return f"{{{written[1:-1]}}}" if connection.vendor == "postgresql" else written


def in_order(keys: Iterable[Any], rows: Iterable[Any]) -> list[Any]:
    """Rows that were fetched by their keys, in the keys' order, without those that have gone since these were found."""
    there = {row.pk: row for row in rows}
    return [there[key] for key in keys if key in there]
