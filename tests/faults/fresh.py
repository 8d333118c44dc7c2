"""Databases of their own for tests that run the desk in processes of its own."""

import fcntl
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import zlib
from collections.abc import Callable
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

ROOT = Path(__file__).resolve().parents[2]
KEPT = ROOT / ".pytest_cache"
ADDRESS = os.environ.get("DATABASE_URL", "")
ENGINE = "postgresql" if ADDRESS.startswith("postgres") else "sqlite"


@contextmanager
def fresh_database(folder: Path, name: str, *, migrated: bool = False):
    """The address of a new database of this run's engine: a file, or one on the same server.

    Empty, or a copy of the one that is kept migrated.
    """
    if ENGINE == "sqlite":
        file = folder / f"{name}.sqlite3"
        if migrated:
            shutil.copy(migrated_desk(), file)
        yield f"sqlite:///{file}"
        return
    name = f"{name}_{os.getpid()}"
    like = f" TEMPLATE {migrated_desk()}" if migrated else ""
    _tell_server(f"CREATE DATABASE {name}{like}")
    try:
        yield _on_server(name)
    finally:
        _tell_server(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


def _tell_server(statement: str, *values: str) -> tuple | None:
    """The first row of what it answers, if it answers in rows."""
    import psycopg

    with psycopg.connect(ADDRESS, autocommit=True) as server:
        told = server.execute(statement, values or None)
        return told.fetchone() if told.description else None


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


def migrated_desk() -> str:
    """The file or the name of the database that the others begin as a copy of.

    Whoever comes first migrates it, and it is kept until what it was made from changes: a run's own
    processes, the rounds after it and the next run need not.
    """
    KEPT.mkdir(exist_ok=True)
    with (KEPT / "desk_migrated.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        return _migrated_file() if ENGINE == "sqlite" else _migrated_name()


def _migrated_file() -> str:
    file = KEPT / "desk_migrated.sqlite3"
    with closing(sqlite3.connect(file)) as held:
        if held.execute("PRAGMA user_version").fetchone() == (_made_from(),):
            return str(file)
    file.unlink()
    _migrate(f"sqlite:///{file}")
    with closing(sqlite3.connect(file)) as held:
        # All in the one file that is copied. The stamp comes last: without it nothing is taken for whole.
        held.execute("PRAGMA journal_mode=DELETE")
        held.execute(f"PRAGMA user_version={_made_from()}")
    return str(file)


def _migrated_name() -> str:
    name = "desk_migrated"
    asked = "SELECT shobj_description(oid, 'pg_database') FROM pg_database WHERE datname = %s"
    if _tell_server(asked, name) != (str(_made_from()),):
        _tell_server(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        _tell_server(f"CREATE DATABASE {name}")
        _fill(_on_server(name))
        _tell_server(f"COMMENT ON DATABASE {name} IS '{_made_from()}'")
    return name


def fill_migrated(address: str) -> None:
    """Bring an empty database of PostgreSQL to where `migrate` would."""
    KEPT.mkdir(exist_ok=True)
    with (KEPT / "desk_migrated.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        _fill(address)


def _fill(address: str) -> None:
    """From the dump of one that was migrated, which takes a tenth of the time and outlives its server."""
    dump = KEPT / f"desk_migrated_{_made_from()}.dump"
    if dump.exists():
        subprocess.run(["pg_restore", "--no-owner", "--dbname", address, dump], check=True)
        return
    _migrate(address)
    draft = dump.with_suffix(".part")
    subprocess.run(
        ["pg_dump", "--format=custom", "--no-owner", "--file", draft, address], check=True
    )
    for older in KEPT.glob("desk_migrated_*.dump"):
        older.unlink()
    draft.rename(dump)


def _made_from() -> int:
    """Stands for the migrations, the libraries that bring some, and the settings that choose among them."""
    files = [
        ROOT / "requirements.txt",
        ROOT / "config" / "settings.py",
        *sorted(ROOT.glob("*/migrations/*.py")),
    ]
    return zlib.crc32(b"".join(file.read_bytes() for file in files)) >> 1


def _migrate(address: str) -> None:
    done = run(address, "manage.py", "migrate", "--verbosity", "0")
    assert done.returncode == 0, done.stderr


def run(
    database: str, *arguments: str, within: tuple[str, ...] = (), **env: str
) -> subprocess.CompletedProcess:
    """A Python of its own on that database: a program's arguments, as after `python`; `within` another's."""
    return subprocess.run(
        [*within, sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, check=False, timeout=580,
        env={**os.environ, "DATABASE_URL": database, "DJANGO_SETTINGS_MODULE": "config.settings", **env},
    )  # fmt: skip


def asked(database: str, statement: str) -> list[tuple]:
    """The rows that it answers to a statement, if any; done without the desk."""
    if ENGINE == "sqlite":
        with closing(sqlite3.connect(database.removeprefix("sqlite:///"))) as file, file:
            return file.execute(statement).fetchall()
    import psycopg

    with psycopg.connect(database) as server:
        told = server.execute(statement)
        return told.fetchall() if told.description else []


def families(database: str) -> str:
    """The codes of the families in it."""
    rows = asked(database, "SELECT code FROM sizing_family ORDER BY id")
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


def each_apart(database: str, *commands: tuple[str, ...], **env: str) -> list[tuple[int, str]]:
    """(exit status, what it said) of several commands, each a process of its own, forked of one that has loaded the desk."""
    words = ("-m", "tests.faults.commands", "--apart", json.dumps(commands))
    return [(status, said) for status, said in told(database, *words, **env)]
