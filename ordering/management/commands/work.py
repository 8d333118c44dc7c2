"""manage.py work: the one process beside the web server. Sends mail, runs queued tasks and, once a
day, publishes the windows, reminds customers of quotes that lapse, judges what was told and erases what
is older than the shop keeps it.

Any number of them may run at once, and any of them may be killed at any point.
"""

from __future__ import annotations

import logging
import signal
import threading
import time
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import close_old_connections
from django.db.utils import OperationalError
from django.utils import timezone
from django.utils.crypto import get_random_string
from django_tasks_db.management.commands.db_worker import Worker

from ordering import news
from ordering.events.erasing import forget_old
from ordering.events.watching import watch_all
from ordering.fits import end_broken_imports, fit_the_stale
from ordering.judged import judge_all
from ordering.needs import to_watch
from ordering.publish import publish_factory, publish_windows
from ordering.sending import sweep
from quotes.desk import posting
from quotes.desk.lapsing import remind_of_lapsing
from quotes.triples import count_rows
from quotes.worklist import settle
from sizing.models import PublishedWindow

# Tasks and orders a round.
A_FEW = 20
FIT_SECONDS = 600.0
# What has failed by a fault of the desk's own is left alone for so long; mail goes on.
FAILED_SECONDS = 60.0
# Nobody is reminded of a quote in the night.
MORNING = 8

_log = logging.getLogger("desk.work")


class Command(BaseCommand):
    help = "Send notices and news, run queued tasks and watch orders, until told to stop."
    day: date | None = None
    reminded: date | None = None
    fitted = -FIT_SECONDS
    failed = -FAILED_SECONDS

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="do what is due now and stop")
        parser.add_argument("--interval", type=float, default=2.0, help="seconds between rounds")

    def handle(self, *, once: bool, interval: float, **options: Any) -> None:
        stopping = threading.Event()
        before = {
            number: signal.signal(number, lambda *_: stopping.set())
            for number in (signal.SIGTERM, signal.SIGINT)
        }
        try:
            self._rounds(stopping, once, interval)
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)

    def _rounds(self, stopping: threading.Event, once: bool, interval: float) -> None:
        while True:
            close_old_connections()
            try:
                busy = self._round(once)
            except OperationalError:
                # Another writer holds the database, or it is being restarted.
                _log.warning(
                    "the database did not answer; the next round tries again", exc_info=True
                )
                busy = False
            if once and not busy:
                return
            if stopping.wait(0 if busy else interval):
                return

    def _round(self, once: bool) -> bool:
        """A little of everything, so that nothing waits for all of something else; whether there is more.

        One factory that cannot be reckoned with must not keep everybody's mail waiting: told in the log, and left
        alone for a minute. Done once, it is told to whoever called.
        """
        busy = self._send()
        if time.monotonic() - self.failed < FAILED_SECONDS:
            return busy
        try:
            return self._look_after() or busy
        except OperationalError:
            raise
        except Exception:
            if once:
                raise
            _log.exception("a round of the day's work failed; mail goes on")
            self.failed = time.monotonic()
            return busy

    def _send(self) -> bool:
        """What waits to go out: queued tasks, letters, notices, news."""
        worker = Worker(
            queue_names=["*"], interval=0, batch=True, backend_name="default", startup_delay=False,
            max_tasks=A_FEW, worker_id=get_random_string(32), excluded_queue_names=[],
        )  # fmt: skip
        worker.run()
        sent = posting.sweep(), sweep(), news.sweep()
        return worker._run_tasks == A_FEW or any(sent)

    def _look_after(self) -> bool:
        """The day's own work, reminders, orders whose windows have moved."""
        today = timezone.localdate()
        if self.day != today:
            self._publish(today)
            forget_old()
            settle()
            judge_all(today)
            count_rows()
            # Only now: what a database that was away left undone is done in the next round.
            self.day = today
        reminded = self._remind(today)
        self._fit(today)
        written = watch_all(A_FEW)
        if written:
            _log.info(
                "windows had moved; their customers are told", extra={"facts": {"windows": written}}
            )
        return bool(reminded) or to_watch(today).exists()

    def _remind(self, day: date) -> int:
        """Customers of quotes that lapse, once a day; how many are written to."""
        if self.reminded == day or timezone.localtime().hour < MORNING:
            return 0
        written = remind_of_lapsing(day)
        self.reminded = day
        return written

    def _publish(self, day: date) -> None:
        """The windows that the counter shows, anew once a day."""
        windows = PublishedWindow.objects.all()
        if not windows.exists() or windows.exclude(published_at__date=day).exists():
            publish_windows()

    def _fit(self, day: date) -> None:
        """What orders of today have changed, now and then: a web process just started finds it ready."""
        if time.monotonic() - self.fitted > FIT_SECONDS:
            for factory in end_broken_imports():
                publish_factory(factory, day)
            fit_the_stale(day)
            self.fitted = time.monotonic()
