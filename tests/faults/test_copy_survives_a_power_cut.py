"""What was said to be written is on the disk: the bytes first, then the name, then the folder that has the name."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from config import backup, on_disk
from ordering.events import erasing
from tests.faults.fresh import ENGINE

# PostgreSQL keeps its own files; of the copies it is the same lines.
pytestmark = pytest.mark.skipif(
    ENGINE != "sqlite", reason="the lines are the same on either engine"
)


@pytest.fixture
def calls(monkeypatch):
    """[(what was called, name of the file or folder)] of what touches names and the disk."""
    found = []

    def watched(name, of):
        real = getattr(os, name)

        def call(*args, **kwargs):
            found.append((name, Path(of(args)).name))
            return real(*args, **kwargs)

        monkeypatch.setattr(os, name, call)

    watched("fsync", lambda args: Path(f"/proc/self/fd/{args[0]}").readlink())
    watched("link", lambda args: args[1])
    watched("replace", lambda args: args[1])
    return found


def desk(path: Path) -> Path:
    """A database that has been through a desk's first migrations."""
    with closing(sqlite3.connect(path)) as made, made:
        made.execute("CREATE TABLE django_migrations (app, name)")
        made.executemany("INSERT INTO django_migrations VALUES (?, ?)", sorted(backup.FIRST))
    return path


@pytest.fixture
def here(tmp_path, monkeypatch):
    """The database of this desk: a file."""
    (tmp_path / "desk").mkdir()
    path = desk(tmp_path / "desk" / "desk.sqlite3")
    monkeypatch.setattr(backup, "_path", lambda: str(path))
    return path


def test_a_copy(here, tmp_path, calls):
    """Its bytes, its name, its folder."""
    (tmp_path / "copies").mkdir()
    copy = tmp_path / "copies" / "one"
    backup.backup(copy)
    assert [(what, name.partition(".")[0]) for what, name in calls] == [
        ("fsync", "one"), ("link", "one"), ("fsync", "copies"),
    ]  # fmt: skip
    assert ".part" in calls[0][1]


def test_a_copy_put_back(here, tmp_path, calls):
    """The database itself and the folder that it lies in, which may be new; before anybody is told that it is there."""
    copy = desk(tmp_path / "copy")
    here.unlink()
    backup._put_back_sqlite(copy)
    assert calls == [("fsync", "desk.sqlite3"), ("fsync", "desk")]
    with closing(sqlite3.connect(here)) as put_back:
        assert put_back.execute("SELECT count(*) FROM django_migrations").fetchone() == (3,)


@pytest.mark.django_db
def test_the_list_of_the_erased(settings, tmp_path, calls):
    """It is all that a restored copy knows of them."""
    settings.VAR_DIR = tmp_path / "var"
    with erasing._list_to_ourselves() as folder:
        erasing._renew_list(erasing._write_list(folder))
    assert calls == [("fsync", "erased.jsonl"), ("replace", "erased.jsonl"), ("fsync", "var")]


def test_a_folder_that_cannot_be_waited_for(monkeypatch, tmp_path):
    """A file system that has no such wish is no fault; a disk that fails is."""
    monkeypatch.setattr(
        os, "fsync", lambda opened: (_ for _ in ()).throw(OSError(22, "Invalid argument"))
    )
    on_disk.keep_names(tmp_path)
    monkeypatch.setattr(
        os, "fsync", lambda opened: (_ for _ in ()).throw(OSError(5, "Input/output error"))
    )
    with pytest.raises(OSError, match="Input/output"):
        on_disk.keep_names(tmp_path)
