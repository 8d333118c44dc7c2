"""`restore` looks before it writes: what is no sound copy, or would overwrite, is refused in one line."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from config.backup import BackupError, backup, check

# The engine of the test's own database is what `check` expects a copy of.
pytestmark = pytest.mark.skipif(
    connection.vendor != "sqlite", reason="these are copies of SQLite files"
)

ROOT = Path(__file__).resolve().parents[2]


def manage(database: Path, *arguments: str) -> tuple[int, str]:
    """(exit status, what it said) of a command on the SQLite file `database`."""
    env = {**os.environ, "DATABASE_URL": f"sqlite:///{database}"}
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=ROOT, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    return done.returncode, done.stdout + done.stderr


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """(a database in use, a copy of it)."""
    folder = tmp_path_factory.mktemp("desk")
    database, copy = folder / "desk.sqlite3", folder / "copy"
    table = ROOT / "fixtures" / "heron-strip.xlsx"
    assert manage(database, "import_table", str(table), "--publish")[0] == 0
    assert manage(database, "backup", str(copy))[0] == 0
    return database, copy


def families(database: Path) -> int:
    with sqlite3.connect(database) as opened:
        return opened.execute("SELECT count(*) FROM sizing_family").fetchone()[0]


def cut(copy: bytes) -> bytes:
    return copy[: len(copy) // 2]


def scribbled(copy: bytes) -> bytes:
    at = len(copy) // 3
    return copy[:at] + b"\xff" * 40_000 + copy[at + 40_000 :]


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda copy: b"", "is no copy of a database"),
        (lambda copy: b"Dear Mara,\n", "is no copy of a database"),
        (lambda copy: b"PGDMP\x01" + bytes(100), "is a copy of a PostgreSQL database"),
        (cut, "is damaged"),
        (scribbled, "is damaged"),
    ],
    ids=["empty", "a letter", "of the other engine", "cut off", "scribbled over"],
)
def test_no_sound_copy(desk, tmp_path, spoil, words):
    """A file that is not whole is no copy, and the sentence says in which way."""
    spoiled = tmp_path / "copy"
    spoiled.write_bytes(spoil(desk[1].read_bytes()))
    with pytest.raises(BackupError, match=words):
        check(spoiled)


def test_made_by_a_newer_version(desk, tmp_path):
    """A copy with changes that this version does not know is refused, naming one."""
    newer = tmp_path / "copy"
    newer.write_bytes(desk[1].read_bytes())
    with sqlite3.connect(newer) as opened:
        opened.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('quotes', '0999_later', 'x')"
        )
    with pytest.raises(
        BackupError, match=r"newer version of this program \(it has quotes 0999_later\)"
    ):
        check(newer)


def test_damaged_copy_changes_nothing(desk, tmp_path):
    """Refused in one line with status 2, even when told to overwrite; the database stays as it was."""
    database, copy = desk
    spoiled = tmp_path / "copy"
    spoiled.write_bytes(scribbled(copy.read_bytes()))
    status, said = manage(database, "restore", str(spoiled), "--overwrite")
    assert (status, "is damaged" in said, said.count("\n")) == (2, True, 1), said
    assert families(database) == 1


def test_in_use(desk):
    """A database that holds anything is not written over unless told to; then it is kept beside."""
    database, copy = desk
    status, said = manage(database, "restore", str(copy))
    assert (status, "in use" in said) == (2, True)


def test_overwritten_when_told(desk, tmp_path):
    """--overwrite brings the copy's content, and what was there before is itself a copy."""
    copy = desk[1]
    database = tmp_path / "other.sqlite3"
    table = ROOT / "fixtures" / "heron-balance.xlsx"
    assert manage(database, "import_table", str(table), "--publish")[0] == 0
    status, said = manage(database, "restore", str(copy), "--overwrite")
    assert (status, "Everything agrees." in said) == (0, True), said
    kept = Path(said.split("is kept in ")[1].split()[0].rstrip("."))
    with sqlite3.connect(database) as now, sqlite3.connect(kept) as before:
        codes = [c.execute("SELECT code FROM sizing_family").fetchall() for c in (now, before)]
    kept.unlink()
    assert codes == [[("heron-strip",)], [("heron-balance",)]]


@pytest.mark.parametrize(
    ("place", "words"), [("copy", "is there already"), ("no/such/folder/copy", "is not there")]
)
def test_backup_refuses(desk, place, words):
    """A copy is never written over another file, nor into a folder that is not there."""
    with pytest.raises(BackupError, match=words):
        backup(desk[1].parent / place)


def test_only_its_owner_reads_it(desk):
    """A copy holds what customers have told the desk: nobody else may read the file."""
    assert oct(desk[1].stat().st_mode & 0o777) == "0o600"
