"""A command that finds no room is ended in one line, and leaves nothing half-written."""

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.fresh import ENGINE, ROOT, asked, families, in_one_go

pytestmark = pytest.mark.skipif(
    ENGINE != "sqlite", reason="a server of its own writes PostgreSQL's files"
)
STRIP = str(ROOT / "fixtures" / "heron-strip.xlsx")


def told(database: str, *command: str, room: int) -> str:
    """The one line of a command that may make no file longer than `room` bytes."""
    done = subprocess.run(
        [sys.executable, "manage.py", *command],
        cwd=ROOT,
        env={**os.environ, "DATABASE_URL": database},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (room, room)),
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2, done.stdout + done.stderr
    (line,) = done.stderr.splitlines()
    return line


@pytest.fixture
def desk(fresh):
    return fresh(migrated=True)


def test_a_table_is_not_imported(desk):
    """Said in one line; afterwards it is not there, not even in part."""
    line = told(desk, "import_table", STRIP, "--publish", room=50_000)
    assert line.startswith("The database gave up before this was done (") and "disk" in line
    assert families(desk) == ""


def test_the_desk_is_not_brought_up_to_date(fresh):
    """What migrate could not finish is said in the same line; with room it goes on from there."""
    empty = fresh("empty")
    line = told(empty, "migrate", room=300_000)
    assert line.startswith("The database gave up before this was done (")
    in_one_go(empty, ("migrate", "--verbosity", "0"))
    assert families(empty) == ""


def test_a_copy_is_not_made(desk, tmp_path):
    """Neither the copy nor its beginning is left."""
    in_one_go(desk, ("import_table", STRIP, "--publish"))
    line = told(desk, "backup", str(tmp_path / "copy"), room=50_000)
    assert line.startswith(f"{tmp_path}/copy cannot be written (") and "room" in line
    assert list(tmp_path.glob("copy*")) == []


def test_a_copy_is_not_put_back(desk, fresh):
    """The database stays as it was."""
    empty = fresh("other")
    line = told(empty, "restore", str(Path(desk.removeprefix("sqlite:///"))), room=50_000)
    assert line.startswith("The copy was not put back (")
    assert [*asked(empty, "SELECT count(*) FROM sqlite_master")] == [(0,)]
