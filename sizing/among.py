"""A question to the database: `pk__among=keys`, rows with one of these keys. `sizing.apps` makes it known."""

from __future__ import annotations

import json
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Lookup


class Among(Lookup):
    """`pk__among=keys`: one of these, told to the database as one value. A thousand take longer to be bound
    one by one than to be looked up."""

    lookup_name = "among"

    def get_prep_lookup(self) -> list[int]:
        return sorted(self.rhs)

    def as_sql(self, compiler: Any, connection: BaseDatabaseWrapper) -> tuple[str, list[Any]]:
        if not self.rhs:
            raise EmptyResultSet
        column, params = self.process_lhs(compiler, connection)
        if connection.vendor == "postgresql":
            return f"{column} = ANY(%s)", [*params, self.rhs]
        # The column's name is Django's own.
        sql = f"{column} IN (SELECT value FROM json_each(%s))"  # noqa: S608  # nosec B608
        return sql, [*params, json.dumps(self.rhs)]
