"""manage.py work: the one process beside the web server. Sends mail, runs queued tasks and, once a
day, publishes the windows and watches the orders.

Any number of them may run at once, and any of them may be killed at any point.
"""

from __future__ import annotations

import signal
import threading
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import close_old_connections
from django.db.utils import OperationalError
from django.utils import timezone
from django.utils.crypto import get_random_string
from django_tasks_db.management.commands.db_worker import Worker

from ordering.events import watch_all
from ordering.publish import publish_windows
from ordering.sending import sweep
from quotes.desk import posting
from sizing.models import PublishedWindow


class Command(BaseCommand):
    help = "Send notices, run queued tasks and watch orders, until told to stop."

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
        worker = Worker(
            queue_names=["*"], interval=0, batch=True, backend_name="default", startup_delay=False,
            max_tasks=None, worker_id=get_random_string(32), excluded_queue_names=[],
        )  # fmt: skip
        day: date | None = None
        while True:
            close_old_connections()
            try:
                worker.run()
                posting.sweep()
                sweep()
                if day != timezone.localdate():
                    day = timezone.localdate()
                    self._daily(day)
                    sweep()
            except OperationalError as problem:
                # Another writer holds the database, or it is being restarted: the next round tries again.
                self.stderr.write(f"The database did not answer ({problem}); trying again.")
            if once or stopping.wait(interval):
                return

    def _daily(self, day: date) -> None:
        """Windows published anew once a day, then every open order looked at."""
        if not PublishedWindow.objects.filter(published_at__date=day).exists():
            publish_windows()
        written = watch_all()
        if written:
            self.stdout.write(f"{written} windows had moved; their customers are told.")
