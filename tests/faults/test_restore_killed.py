"""kill -9 in the middle of `restore --overwrite`: the database is the one before or the copy, never half."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.faults.fresh import ENGINE, ROOT, run
from tests.faults.test_restore_refuses import families, manage, with_table

SEED, KILLS = 20_321_124, 6


def restore_and_kill(database: str, copy: str, after: float, kept: Path) -> bool:
    """Whether it was killed before it came to its end. It and whatever it runs die together."""
    begun = subprocess.Popen(
        [sys.executable, "manage.py", "restore", copy, "--overwrite"],
        cwd=ROOT, env={**os.environ, "DATABASE_URL": database, "VAR_DIR": str(kept)},
        start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    time.sleep(after)
    killed = begun.poll() is None
    if killed:
        os.killpg(begun.pid, signal.SIGKILL)
    begun.wait()
    return killed


def test_before_or_after(fresh, tmp_path, monkeypatch):
    """At six moments of it; afterwards the same restore goes through, and everything agrees."""
    monkeypatch.setenv("VAR_DIR", str(tmp_path / "var"))
    copies = {}
    for name in ("heron-strip", "heron-balance"):
        database = with_table(fresh(name.replace("-", "_"), migrated=True), name)
        copies[name] = str(tmp_path / f"copy-{name}")
        assert manage(database, "backup", copies[name])[0] == 0
    desk, draw = database, random.Random(SEED)
    began = time.monotonic()
    assert manage(desk, "restore", copies["heron-strip"], "--overwrite")[0] == 0
    whole, killed = time.monotonic() - began, 0
    for _ in range(3 * KILLS):
        now = families(desk)
        other = next(name for name in copies if name != now)
        after = draw.uniform(0.1, 1) * whole
        if restore_and_kill(desk, copies[other], after, tmp_path / "var"):
            killed += 1
        else:
            # The machine was busier when it was measured.
            whole *= 0.8
        there = families(desk)
        assert there in copies, f"{ENGINE}: {there!r} is there"
        if killed == KILLS:
            break
    assert killed == KILLS
    status, said = manage(desk, "restore", copies["heron-strip"], "--overwrite")
    assert (status, "Everything agrees." in said) == (0, True), said
    assert run(desk, "manage.py", "migrate", "--check").returncode == 0
