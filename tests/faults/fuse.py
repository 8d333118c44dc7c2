"""Ends a process at a moment of its work with the database: before a statement, or after a commit.

A blow at a random instant seldom falls between a commit and what comes after it, which takes a
thousandth of a press; there a program that writes in two steps what belongs together is found out.
"""

import multiprocessing
import os
import signal

STATEMENT, COMMIT = 0, 1
_WRITES = ("INSERT", "UPDATE", "DELETE")


class Fuse:
    """Set in the harness, burns down in a forked process: `lay` has it count that process's moments."""

    def __init__(self) -> None:
        # Without locks: a process killed while it held one would hold it for ever.
        self._left = [multiprocessing.Value("i", 0, lock=False) for _ in (STATEMENT, COMMIT)]
        self._seen = [multiprocessing.Value("i", 0, lock=False) for _ in (STATEMENT, COMMIT)]

    def set(self, kind: int, moment: int) -> None:
        """Kill the process and its children at its `moment`th statement or commit from now."""
        self._left[kind].value = moment

    def unset(self) -> bool:
        """Whether it had not gone off."""
        waiting = any(left.value > 0 for left in self._left)
        for left in self._left:
            left.value = 0
        return waiting

    def seen(self) -> tuple[int, int]:
        """How many statements and commits there have been."""
        return self._seen[STATEMENT].value, self._seen[COMMIT].value

    def lay(self) -> None:
        """In the process itself, before it has asked the database anything."""
        from django.db.backends.base.base import BaseDatabaseWrapper
        from django.db.backends.utils import CursorWrapper

        ask, commit = CursorWrapper._execute_with_wrappers, BaseDatabaseWrapper.commit

        def asked(cursor, sql, *said, **more):
            self._come(STATEMENT)
            answer = ask(cursor, sql, *said, **more)
            # Outside a transaction each statement that writes is one by itself.
            if not cursor.db.in_atomic_block and str(sql).startswith(_WRITES):
                self._come(COMMIT)
            return answer

        def committed(connection):
            commit(connection)
            self._come(COMMIT)

        CursorWrapper._execute_with_wrappers, BaseDatabaseWrapper.commit = asked, committed

    def _come(self, kind: int) -> None:
        self._seen[kind].value += 1
        left = self._left[kind]
        if left.value > 0:
            left.value -= 1
            if left.value == 0:
                os.killpg(0, signal.SIGKILL)
