"""The desk's own processes as the harness runs them: forked, killed at any time, each with its clock.

The web server is gunicorn as `make serve` starts it, the worker is `manage.py work`. A process's clock
is moved while it runs: time.time, datetime.now and all that Python reads them by jump together, as
they do when a machine's clock is set; what counts seconds since the start (monotonic) goes on.
"""

import multiprocessing
import os
import signal
import threading
import time
import traceback
from contextlib import suppress
from datetime import UTC, datetime

import time_machine

from tests.faults.fuse import Fuse

HOST = "127.0.0.1"
# Counted from here on by what no clock moves.
_BEGAN = time.time() - time.monotonic()


def _real() -> float:
    return _BEGAN + time.monotonic()


class Clock:
    """A clock that this process sets and others follow; `right` is what it shows when it is not off."""

    def __init__(self, starts: datetime) -> None:
        self.right = starts.timestamp() - _real()
        self.offset = multiprocessing.Value("d", self.right, lock=False)

    def jump(self, seconds: float) -> None:
        """Off by so much from what is right."""
        self.offset.value = self.right + seconds

    def show(self, moment: datetime) -> None:
        self.offset.value = moment.timestamp() - _real()

    def set_right(self) -> None:
        self.offset.value = self.right

    def go(self) -> None:
        """Let this process follow it, from now to its end."""
        shown = self.offset.value
        at = time_machine.travel(self._now(shown), tick=True).start()
        threading.Thread(target=self._follow, args=(at, shown), daemon=True).start()

    def _follow(self, at, shown: float) -> None:
        while True:
            if self.offset.value != shown:
                shown = self.offset.value
                at.move_to(self._now(shown))
            time.sleep(0.005)

    @staticmethod
    def _now(offset: float) -> datetime:
        return datetime.fromtimestamp(_real() + offset, UTC)


class Process:
    """A forked child with its own children, killed all together and started again."""

    def __init__(self, name: str, run) -> None:
        self.name, self.run, self.fuse = name, run, Fuse()
        self.start()

    def start(self) -> None:
        from django.db import connections

        # A database connection must never be carried into another process.
        connections.close_all()
        self.pid = os.fork()
        if self.pid == 0:
            try:
                os.setpgid(0, 0)
                # By this name the harness knows its own connections, which no fault cuts.
                os.environ.pop("PGAPPNAME", None)
                log = os.environ.get("FAULTS_LOG", os.devnull)
                nowhere = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
                os.dup2(nowhere, 1)
                os.dup2(nowhere, 2)
                self.fuse.lay()
                self.run()
            except BaseException:
                traceback.print_exc()
            finally:
                os._exit(1)
        # By both, as either may come first.
        with suppress(PermissionError, ProcessLookupError):
            os.setpgid(self.pid, self.pid)

    def kill(self) -> None:
        with suppress(ProcessLookupError):
            os.killpg(self.pid, signal.SIGKILL)

    def revive(self) -> bool:
        """Start it again if it was killed; whether it was. No fault may make it end by itself."""
        gone, how = os.waitpid(self.pid, os.WNOHANG)
        if gone:
            assert os.WIFSIGNALED(how), (
                f"{self.name} ended by itself, {os.waitstatus_to_exitcode(how)}"
            )
            self.kill()
            self.start()
        return bool(gone)

    def end(self) -> None:
        """Over when it is gone, as it may be already."""
        self.kill()
        with suppress(ChildProcessError):
            os.waitpid(self.pid, 0)


def serve(port: int, clock: Clock) -> None:
    """The web server, as the Makefile starts it."""
    from django.core.wsgi import get_wsgi_application
    from gunicorn.app.base import BaseApplication

    class Server(BaseApplication):
        def load_config(self) -> None:
            self.cfg.set("bind", f"{HOST}:{port}")
            self.cfg.set("threads", 4)
            self.cfg.set("loglevel", "critical")
            self.cfg.set("post_fork", lambda server, worker: clock.go())

        def load(self):
            return get_wsgi_application()

    Server().run()


def work(clock: Clock) -> None:
    from django.core.management import call_command

    clock.go()
    call_command("work", interval=0.1)
