"""PostgreSQL's own server, killed and started again: the one that .ci/with_postgres runs for this job alone.

Every process of it gets SIGKILL at once, so nothing is said to whoever is connected and nothing is
written down; the next start recovers from the log, as after a crash.
"""

import os
import signal
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path


def data_folder() -> Path | None:
    """Where that server keeps its data; None where there is none that may be killed."""
    said = os.environ.get("POSTGRES_DATA")
    return Path(said) if said else None


@contextmanager
def killed_after(seconds: float) -> Iterator[threading.Event]:
    """The server dies that long from now, the event says so, and when this ends it is there again."""
    from django.db import connection

    data, gone = data_folder(), threading.Event()
    assert data is not None

    def strike() -> None:
        time.sleep(seconds)
        kill(data)
        gone.set()

    blow = threading.Thread(target=strike)
    blow.start()
    try:
        yield gone
    finally:
        blow.join()
        start(data)
        # It has broken off, and looks as if it were open.
        connection.close()


def kill(data: Path) -> None:
    """kill -9 of the server and of all that it runs; over when none of them is left."""
    lock = data / "postmaster.pid"
    server = int(lock.read_text().split()[0])
    # Held, so that it does nothing about its children's death.
    os.kill(server, signal.SIGSTOP)
    all_of_it = [server, *_children(server)]
    for process in all_of_it:
        with suppress(ProcessLookupError):
            os.kill(process, signal.SIGKILL)
    until = time.monotonic() + 30
    while any(_state(process) not in ("", "Z") for process in all_of_it):
        assert time.monotonic() < until, "the database server outlives kill -9"
        time.sleep(0.002)
    # Its number counts as running until somebody buries it, which not every container's first process does.
    lock.unlink()


def start(data: Path) -> None:
    """As its own user; over when it takes connections."""
    program = Path((data / "postmaster.opts").read_text().split()[0])
    owner, log = data.stat(), data.parent / "log"
    done = subprocess.run(
        [program.with_name("pg_ctl"), "-D", data, "-w", "-l", log, "start"],
        cwd=data.parent, user=owner.st_uid, group=owner.st_gid, check=False, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 0, log.read_text()[-2000:]


def _children(parent: int) -> list[int]:
    return [
        int(folder.name)
        for folder in Path("/proc").iterdir()
        if folder.name.isdigit() and _stat(int(folder.name))[1:2] == [str(parent)]
    ]


def _state(process: int) -> str:
    """As in /proc: R, S, Z …; nothing if there is no such process."""
    return (_stat(process) or [""])[0]


def _stat(process: int) -> list[str]:
    """A process's state, its parent and so on (proc(5)); empty if it is gone."""
    with suppress(FileNotFoundError, ProcessLookupError):
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return []
