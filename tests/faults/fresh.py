"""Databases of their own for tests that run the desk in processes of its own."""

import os
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

ROOT = Path(__file__).resolve().parents[2]
ADDRESS = os.environ.get("DATABASE_URL", "")
ENGINE = "postgresql" if ADDRESS.startswith("postgres") else "sqlite"


@contextmanager
def fresh_database(folder: Path, name: str):
    """The address of a new, empty database of this run's engine: a file, or one on the same server."""
    if ENGINE == "sqlite":
        yield f"sqlite:///{folder / name}.sqlite3"
        return
    import psycopg

    name = f"{name}_{os.getpid()}"
    with psycopg.connect(ADDRESS, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
    try:
        yield urlunsplit(urlsplit(ADDRESS)._replace(path=f"/{name}"))
    finally:
        with psycopg.connect(ADDRESS, autocommit=True) as server:
            server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


def run(database: str, *arguments: str, **env: str) -> subprocess.CompletedProcess:
    """A Python of its own on that database: a program's arguments, as after `python`."""
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, check=False, timeout=580,
        env={**os.environ, "DATABASE_URL": database, "DJANGO_SETTINGS_MODULE": "config.settings", **env},
    )  # fmt: skip
