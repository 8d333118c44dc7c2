"""How verifying reads: all of one moment, a few hundred rows at a time, while others go on writing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction

AT_ONCE = 500


@contextmanager
def one_moment() -> Iterator[None]:
    """Whatever is read within it is as it was at the beginning; nobody who writes waits for it."""
    if connection.in_atomic_block:
        yield
        return
    connection.ensure_connection()
    if connection.vendor == "postgresql":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
        return
    # The desk's transactions take the right to write as they begin; one that reads needs none.
    usual, connection.transaction_mode = connection.transaction_mode, "DEFERRED"
    try:
        with transaction.atomic():
            yield
    finally:
        connection.transaction_mode = usual
