"""Who waits to write into the SQLite file gets their turn, however busily another writes.

SQLite has no queue: who finds the file held looks again, at last ten times a second, and who writes one thing
after the other takes it again in the microseconds between two looks. The worker's daily look at many open orders
kept a clerk's form waiting until it was refused. So a writer asks for the turn first, a lock on an empty file
beside the database, and gives it up as soon as it has the database: whoever has just written stands behind
whoever waits. The kernel lets go of it when a process is killed. PostgreSQL lets them in by itself.
"""

from __future__ import annotations

import fcntl
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper

# What takes the right to write, outside a transaction.
WRITES = ("BEGIN", "INSERT", "UPDATE", "DELETE", "ANALYZE")
# Seconds. One that has waited so long asks SQLite without a turn: somebody who holds it may be stuck.
MOST, LOOK_AGAIN = 10.0, 0.005


def give_turns(connection: BaseDatabaseWrapper, **kwargs: Any) -> None:
    """Django's signal of a new connection: each of its writes waits for its turn from now on."""
    if connection.vendor != "sqlite" or connection.is_in_memory_db():
        return
    # A connection that is opened anew keeps what was put round its statements before.
    if _in_turn not in connection.execute_wrappers:
        connection.execute_wrappers.append(_in_turn)


def _in_turn(
    execute: Callable[..., Any], sql: str, params: Any, many: bool, context: dict[str, Any]
) -> Any:
    connection = context["connection"]
    if connection.in_atomic_block or not sql.startswith(WRITES):
        return execute(sql, params, many, context)
    with _turn(str(connection.settings_dict["NAME"])):
        return execute(sql, params, many, context)


@contextmanager
def _turn(database: str) -> Iterator[None]:
    try:
        # Who may read the database may wait for it, as with what SQLite itself writes beside it.
        rights = Path(database).stat().st_mode & 0o777
        held = os.open(f"{database}-turn", os.O_RDONLY | os.O_CREAT, rights)
    except OSError:
        # A full disk, somebody else's file: SQLite itself says what becomes of the write.
        yield
        return
    try:
        until = time.monotonic() + MOST
        while not _taken(held) and time.monotonic() < until:
            time.sleep(LOOK_AGAIN)
        yield
    finally:
        os.close(held)


def _taken(held: int) -> bool:
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
