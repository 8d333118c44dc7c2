"""Databases of their own for tests that run the desk in processes of its own."""

import fcntl
import os
import shutil
import subprocess
import sys
from contextlib import contextmanager
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


def _migrated(folder: Path) -> str:
    """The file or the name of the run's migrated database; whoever comes first makes it, the others wait."""
    here = folder.parent
    if here.name.startswith("popen-"):
        # A worker's own folder lies in that of the run.
        here = here.parent
    name, made = "desk_migrated", here / "desk_migrated.made"
    file = here / f"{name}.sqlite3"
    with (here / "desk_migrated.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            address = f"sqlite:///{file}"
            if ENGINE == "postgresql":
                _tell_server(
                    f"DROP DATABASE IF EXISTS {name} WITH (FORCE)", f"CREATE DATABASE {name}"
                )
                address = _on_server(name)
            done = run(address, "manage.py", "migrate", "--verbosity", "0")
            assert done.returncode == 0, done.stderr
            made.touch()
    return str(file) if ENGINE == "sqlite" else name


def run(
    database: str, *arguments: str, within: tuple[str, ...] = (), **env: str
) -> subprocess.CompletedProcess:
    """A Python of its own on that database: a program's arguments, as after `python`; `within` another's."""
    return subprocess.run(
        [*within, sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, check=False, timeout=580,
        env={**os.environ, "DATABASE_URL": database, "DJANGO_SETTINGS_MODULE": "config.settings", **env},
    )  # fmt: skip
