"""The indexes of letter triples that serve the searches of any scrap inside a text.

PostgreSQL has them as pg_trgm, SQLite as FTS5's trigram tokenizer, in a table beside the searched one that
triggers keep up. Django's own migrations of SQLite rebuild a table and lose its triggers, so after every
`migrate` what is missing is made again, and made anew from the rows.
"""

from __future__ import annotations

import logging
from typing import Any

from django.db import DatabaseError, connections, models, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from quotes.models import Customer, QuoteLine, Request

SEARCHED: dict[type[models.Model], tuple[str, ...]] = {
    Customer: ("scraps",),
    Request: ("scraps",),
    QuoteLine: ("description",),
}
# Written small and without accents already, as a scrap is: no database need make them so, row by row.
PLAIN = ("scraps",)
# A shorter scrap stands in nearly every row, and no index of triples can find it.
SHORTEST = 3
# A step of putting an index together: 0.05 s among 300,000 customers, and 65 of them.
PAGES_AT_ONCE = 200

_log = logging.getLogger("desk.searched")


def table_of(model: type[models.Model]) -> str:
    """SQLite's table of a model's triples."""
    return f"{model._meta.db_table}_triples"


def make_indexes(using: str = "default", **kwargs: Any) -> None:
    """What is missing of them; called after every `migrate`, also one back to a schema that lacks some columns."""
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    for model, columns in SEARCHED.items():
        table = model._meta.db_table
        if table in tables and set(columns) <= _columns_of(connection, table):
            if connection.vendor == "sqlite":
                _on_sqlite(connection, model, columns)
            else:
                _on_postgresql(connection, table, columns)


def _columns_of(connection: BaseDatabaseWrapper, table: str) -> set[str]:
    with connection.cursor() as cursor:
        described = connection.introspection.get_table_description(cursor, table)
    return {column.name for column in described}


def count_rows(using: str = "default", **kwargs: Any) -> None:
    """What the database goes by when it chooses an index; PostgreSQL counts by itself.

    Called after every `migrate` and once a day: a migration of SQLite that rebuilds a table loses its counts,
    and without them each row of a list is looked for among all those of its family.
    """
    if connections[using].vendor == "sqlite":
        with connections[using].cursor() as cursor:
            # So many rows of each index tell enough, and take a moment however large the shop.
            cursor.execute("PRAGMA analysis_limit = 1000")
            cursor.execute("ANALYZE")


def forget_gone(using: str = "default") -> None:
    """Take the letters of what was erased out of SQLite's indexes and its log; PostgreSQL's vacuum does so by itself.

    An index only notes that a row's triples are gone, and holds them until its parts are put together. That is
    done a few pages at a time, so that nobody waits to write for longer than for any other.
    """
    connection = connections[using]
    if connection.vendor != "sqlite":
        return
    for model in SEARCHED:
        triples = table_of(model)
        merge = f"INSERT INTO {triples} ({triples}, rank) VALUES ('merge', %s)"  # noqa: S608
        # Below zero: all parts are to become one.
        pages = -PAGES_AT_ONCE
        with connection.cursor() as cursor:
            while _changed(cursor, merge, pages) > 1:
                pages = PAGES_AT_ONCE
    if not connection.in_atomic_block:
        _empty_log(connection)


def _empty_log(connection: BaseDatabaseWrapper) -> None:
    """The log beside SQLite's file has the pages as they were until it is written over, so it is cut.

    Others can't write while this waits for who still reads from it: no longer than for anything else, or another time.
    """
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA busy_timeout")
        (usual,) = cursor.fetchone()
        cursor.execute("PRAGMA busy_timeout = 500")
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        cursor.execute(f"PRAGMA busy_timeout = {int(usual)}")


def _changed(cursor: Any, statement: str, value: int) -> int:
    """How many rows the statement has written, those of the index's own tables among them."""
    before = _changes(cursor)
    cursor.execute(statement, [value])
    return _changes(cursor) - before


def _changes(cursor: Any) -> int:
    cursor.execute("SELECT total_changes()")
    return int(cursor.fetchone()[0])


def _on_sqlite(
    connection: BaseDatabaseWrapper, model: type[models.Model], columns: tuple[str, ...]
) -> None:
    table, triples = model._meta.db_table, table_of(model)
    names = ", ".join(columns)
    old, new = (", ".join(f"{row}.{c}" for c in columns) for row in ("old", "new"))
    gone = f"INSERT INTO {triples} ({triples}, rowid, {names}) VALUES ('delete', old.id, {old});"  # noqa: S608
    come = f"INSERT INTO {triples} (rowid, {names}) VALUES (new.id, {new});"  # noqa: S608
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM sqlite_master WHERE type = 'trigger' AND name IN (%s, %s, %s)",
            [f"{triples}_{end}" for end in ("in", "out", "new")],
        )
        if cursor.fetchone()[0] == 3:
            return
        with transaction.atomic(connection.alias):
            cursor.execute(
                f"CREATE VIRTUAL TABLE IF NOT EXISTS {triples} USING fts5({names}, "
                f"content='{table}', content_rowid='id', tokenize='trigram')"
            )
            for end, when, do in (
                ("in", "INSERT", come),
                ("out", "DELETE", gone),
                ("new", f"UPDATE OF {names}", gone + come),
            ):
                cursor.execute(f"DROP TRIGGER IF EXISTS {triples}_{end}")
                cursor.execute(
                    f"CREATE TRIGGER {triples}_{end} AFTER {when} ON {table} BEGIN {do} END"
                )
            cursor.execute(f"INSERT INTO {triples} ({triples}) VALUES ('rebuild')")  # noqa: S608


def _on_postgresql(connection: BaseDatabaseWrapper, table: str, columns: tuple[str, ...]) -> None:
    try:
        with transaction.atomic(connection.alias), connection.cursor() as cursor:
            cursor.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm")
            for column in columns:
                searched = column if column in PLAIN else f"upper({column}::text)"
                cursor.execute(
                    f"CREATE INDEX IF NOT EXISTS {table}_{column}_triples ON {table} "
                    f"USING gin ({searched} gin_trgm_ops)"
                )
    except DatabaseError:
        # Everything is found without it all the same, only slower.
        _log.warning(
            "searching stays slow: the database has no pg_trgm, ask its owner to create it"
        )
