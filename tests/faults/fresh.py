"""Databases of their own for tests that run the desk in processes of its own."""

import fcntl
import json
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

ROOT = Path(__file__).resolve().parents[2]
ADDRESS = os.environ.get("DATABASE_URL", "")
ENGINE = "postgresql" if ADDRESS.startswith("postgres") else "sqlite"


@contextmanager
def fresh_database(folder: Path, name: str, *, migrated: bool = False):
    """The address of a new database of this run's engine: a file, or one on the same server.

    Empty, or a copy of one that was migrated once for the whole run.
    """
    if ENGINE == "sqlite":
        file = folder / f"{name}.sqlite3"
        if migrated:
            shutil.copy(_migrated(folder), file)
        yield f"sqlite:///{file}"
        return
    name = f"{name}_{os.getpid()}"
    like = f" TEMPLATE {_migrated(folder)}" if migrated else ""
    _tell_server(f"CREATE DATABASE {name}{like}")
    try:
        yield _on_server(name)
    finally:
        _tell_server(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


def _tell_server(*statements: str) -> None:
    import psycopg

    with psycopg.connect(ADDRESS, autocommit=True) as server:
        for statement in statements:
            server.execute(statement)


def _on_server(name: str) -> str:
    return urlunsplit(urlsplit(ADDRESS)._replace(path=f"/{name}"))


def once(folder: Path, name: str, work: Callable[[], object]) -> object:
    """What came of `work`, as JSON keeps it: whoever of the run's processes comes first does it, the others wait."""
    here = folder.parent
    if here.name.startswith("popen-"):
        # A worker's own folder lies in that of the run.
        here = here.parent
    kept = here / f"{name}.json"
    with (here / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            kept.write_text(json.dumps(work()))
        return json.loads(kept.read_text())


def _migrated(folder: Path) -> str:
    """The file or the name of the run's migrated database."""

    def migrate() -> str:
        # Not the folder of the test that happens to be the first: it goes with the test.
        file = folder.parent / "desk_migrated.sqlite3"
        address = f"sqlite:///{file}"
        if ENGINE == "postgresql":
            _tell_server(
                "DROP DATABASE IF EXISTS desk_migrated WITH (FORCE)",
                "CREATE DATABASE desk_migrated",
            )
            address = _on_server("desk_migrated")
        done = run(address, "manage.py", "migrate", "--verbosity", "0")
        assert done.returncode == 0, done.stderr
        return str(file) if ENGINE == "sqlite" else "desk_migrated"

    return str(once(folder, "desk_migrated", migrate))


def run(
    database: str, *arguments: str, within: tuple[str, ...] = (), **env: str
) -> subprocess.CompletedProcess:
    """A Python of its own on that database: a program's arguments, as after `python`; `within` another's."""
    return subprocess.run(
        [*within, sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, check=False, timeout=580,
        env={**os.environ, "DATABASE_URL": database, "DJANGO_SETTINGS_MODULE": "config.settings", **env},
    )  # fmt: skip


def families(database: str) -> str:
    """The codes of the families in it, read without the desk."""
    asked = "SELECT code FROM sizing_family ORDER BY id"
    if ENGINE == "sqlite":
        with closing(sqlite3.connect(database.removeprefix("sqlite:///"))) as file:
            rows = file.execute(asked).fetchall()
    else:
        import psycopg

        with psycopg.connect(database) as server:
            rows = server.execute(asked).fetchall()
    return " ".join(code for (code,) in rows)


def told(database: str, *arguments: str, **env: str):
    """What a program on that database printed last, which is JSON."""
    done = run(database, *arguments, **env)
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout.splitlines()[-1])


def in_one_go(database: str, *commands: tuple[str, ...], **env: str) -> str:
    """What several commands said, one after the other in one process: `("python", code)` runs code instead."""
    done = run(database, "-m", "tests.faults.commands", json.dumps(commands), **env)
    assert done.returncode == 0, done.stderr
    return done.stdout
