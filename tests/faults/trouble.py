"""The faults: each is brought on around one press of a button, and over when the press is answered."""

import os
import random
import threading
import time
from collections import Counter
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from tests.faults import bad_mail_server, mail_server
from tests.faults.db_server import data_folder
from tests.faults.fuse import COMMIT, STATEMENT
from tests.faults.processes import Clock, Process
from tests.faults.small_disk import Disk

# How long the harness's desk waits for a lock, in seconds; the product's own patience is longer.
PATIENCE = 0.4
# The hours when clocks change in New York, where the harness's shop is.
SUMMER_ENDS = datetime(2026, 11, 1, 6, tzinfo=UTC)
SUMMER_BEGINS = datetime(2027, 3, 14, 7, tzinfo=UTC)

KILL = ("kill -9 of web", "kill -9 of worker", "kill -9 of both")
CLOCK = (
    "clock jumps forwards", "clock jumps backwards", "clock over the end of summer time",
    "clock over the start of summer time",
)  # fmt: skip
GAP = "kill -9 before a statement or after a commit"
LOCKED, FULL, CUT = "database locked", "disk full", "database connections cut"
SERVER = "kill -9 of the database server"
TWICE, TWO_CLERKS = "same form sent twice", "two clerks on one request"
MAIL = {f"mail server {kind}": kind for kind in mail_server.KINDS}
# After these a worker may not know that its mail went.
BLOWS = {
    GAP, *KILL, LOCKED, FULL, CUT, SERVER,
    *(name for name, kind in MAIL.items() if bad_mail_server.FAULTS.get(kind)),
}  # fmt: skip
# Out of a hundred faults, at least one of each kind.
SHARES = {
    GAP: 12, **dict.fromkeys(KILL, 6), **dict.fromkeys(MAIL, 4), **dict.fromkeys(CLOCK, 3),
    LOCKED: 10, FULL: 7, CUT: 2, SERVER: 2, TWICE: 7, TWO_CLERKS: 6,
}  # fmt: skip


def instead(engine: str) -> dict[str, str]:
    """Kinds that cannot be here, and what comes for them: SQLite has no server, not every server is ours to kill."""
    if engine == "sqlite":
        return {CUT: LOCKED, SERVER: LOCKED}
    return {} if data_folder() else {SERVER: CUT}


def plan(faults: int, draw: random.Random, engine: str) -> list[str]:
    """At least so many faults in a random order, each kind by its share."""
    whole = sum(SHARES.values())
    kinds = [kind for kind, share in SHARES.items() for _ in range(-(-share * faults // whole))]
    other = instead(engine)
    kinds = [other.get(kind, kind) for kind in kinds]
    draw.shuffle(kinds)
    return kinds


class Trouble:
    """Brings faults on, and counts them when they have come."""

    def __init__(
        self, draw: random.Random, web: Process, worker: Process, clocks: dict[str, Clock],
        disk: Disk, mail: Path,
    ) -> None:  # fmt: skip
        self.draw, self.web, self.worker, self.clocks = draw, web, worker, clocks
        self.disk, self.mail = disk, mail
        self.count: Counter[str] = Counter()
        # What a press takes here, so that a blow falls anywhere in it.
        self.usual = 0.15
        # And how many statements and commits, by the button.
        self.moments: dict[str, tuple[int, int]] = {}

    @contextmanager
    def around(self, kind: str, button: str):
        """Around one press of that button. Database troubles end before it is pressed again."""
        before = self.web.fuse.seen()
        if kind == GAP:
            bring = self._gap(button)
        elif kind in KILL:
            bring = self._kill(kind)
        elif kind in CLOCK:
            bring = self._clock(kind)
        elif kind == LOCKED:
            bring = held(self.draw.choice((0.5, 2.5)) * PATIENCE)
        elif kind == FULL:
            bring = self._full()
        elif kind == CUT:
            bring = self._after(cut_connections)
        else:
            bring = self._mail(kind)
        began = time.monotonic()
        with bring:
            yield
            took = min(time.monotonic() - began, 1.0)
        self.usual = 0.8 * self.usual + 0.2 * took
        if kind in MAIL:
            # Undisturbed.
            after = self.web.fuse.seen()
            self.moments[button] = (after[0] - before[0], after[1] - before[1])
        if kind not in MAIL:
            self.count[kind] += 1

    @contextmanager
    def _after(self, strike):
        def wait() -> None:
            time.sleep(delay)
            strike()

        delay = self.draw.uniform(0, self.usual)
        blow = threading.Thread(target=wait)
        blow.start()
        yield
        blow.join()

    def _kill(self, kind: str):
        victims = {KILL[0]: [self.web], KILL[1]: [self.worker], KILL[2]: [self.web, self.worker]}
        return self._after(lambda: [victim.kill() for victim in victims[kind]])

    @contextmanager
    def _gap(self, button: str):
        """The web process at any moment that such a press has, most often after a commit; or the worker."""
        victim = self.draw.choice((self.web, self.web, self.web, self.worker))
        kind = self.draw.choice((STATEMENT, COMMIT, COMMIT))
        usual = self.moments.get(button, (30, 2)) if victim is self.web else (200, 8)
        victim.fuse.set(kind, self.draw.randint(1, max(1, usual[kind])))
        yield
        if victim.fuse.unset():
            # It had fewer moments than usual.
            victim.kill()

    @contextmanager
    def _clock(self, kind: str):
        """One process's clock or both; it stays off until the next fault of this kind."""
        struck = self.draw.choice((["web"], ["worker"], ["web", "worker"]))
        moved = self.draw.choice((5, 600, 3600, 26 * 3600, 9 * 86_400))
        for name in struck:
            clock = self.clocks[name]
            if kind == CLOCK[0]:
                clock.jump(moved)
            elif kind == CLOCK[1]:
                clock.jump(-moved)
            else:
                change = SUMMER_ENDS if kind == CLOCK[2] else SUMMER_BEGINS
                clock.show(datetime.fromtimestamp(change.timestamp() - self.usual / 2, UTC))
        yield

    @contextmanager
    def _full(self):
        from django.db import connection

        if connection.vendor == "sqlite":
            # Otherwise a write finds room in the log that is there already.
            with suppress(Exception), connection.cursor() as cursor:
                cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            connection.close()
        self.disk.fill()
        try:
            yield
        finally:
            self.disk.free()

    @contextmanager
    def _mail(self, kind: str):
        self.ordered = getattr(self, "ordered", 0) + 1
        mail_server.order(self.mail, self.ordered, MAIL[kind])
        yield

    def count_mail(self) -> None:
        """What the mail server has really done."""
        names = {kind: name for name, kind in MAIL.items()}
        for file in self.mail.glob("*.done"):
            self.count[names[file.read_text()]] += 1


# What the desk writes when somebody presses a button; locked one after the other on PostgreSQL.
TABLES = ("quotes_request", "quotes_letter", "ordering_order", "ordering_orderline")


@contextmanager
def held(seconds: float | None, tables: tuple[str, ...] = TABLES):
    """Another program holds the right to write for so long; None: as long as this goes on."""
    ready, done = threading.Event(), threading.Event()
    thread = threading.Thread(target=_hold, args=(seconds, tables, ready, done))
    thread.start()
    ready.wait(30)
    try:
        yield
    finally:
        if seconds is None:
            done.set()
        thread.join()


def _hold(seconds: float | None, tables: tuple[str, ...], ready, done) -> None:
    from django.db import connection, transaction

    if connection.vendor == "sqlite":
        connection.settings_dict = {
            **connection.settings_dict,
            "OPTIONS": {**connection.settings_dict["OPTIONS"], "timeout": 30},
        }
    else:
        connection.settings_dict = {**connection.settings_dict, "OPTIONS": {}}
    # SQLite's transactions here are immediate: beginning one takes the lock.
    with transaction.atomic():
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute(f"LOCK TABLE {', '.join(tables)} IN EXCLUSIVE MODE")
        ready.set()
        done.wait(seconds)
    connection.close()


def cut_connections() -> None:
    """Every connection to the database is ended by its server."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE datname = current_database() AND application_name <> %s",
            [os.environ["PGAPPNAME"]],
        )
    connection.close()
