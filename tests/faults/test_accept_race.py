"""Two people accept the same issue at the same instant: one acceptance, and no error page."""

import json
import os
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import pytest

ROUNDS = 200
ROOT = Path(__file__).resolve().parents[2]


@contextmanager
def fresh_postgres(address: str):
    """A database of its own beside the configured one, dropped afterwards."""
    import psycopg

    name = f"accept_race_{os.getpid()}"
    with psycopg.connect(address, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
    try:
        yield urlunsplit(urlsplit(address)._replace(path=f"/{name}"))
    finally:
        with psycopg.connect(address, autocommit=True) as server:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(params=["sqlite", "postgres"])
def database(request, tmp_path):
    """The address of a fresh database: an SQLite file, or one on the configured PostgreSQL server."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'race.sqlite3'}"
        return
    address = os.environ.get("DATABASE_URL", "")
    if not address.startswith("postgres"):
        pytest.skip("DATABASE_URL names no PostgreSQL server")
    with fresh_postgres(address) as fresh:
        yield fresh


def test_one_acceptance_each_of_two_hundred_times(database):
    """Of two processes pressing at once one is stored, and both are shown who accepted."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.faults.accept_race", str(ROUNDS)],
        cwd=ROOT,
        env={**os.environ, "DATABASE_URL": database},
        capture_output=True,
        text=True,
        timeout=580,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout.splitlines()[-1])
    assert told["engine"] == ("sqlite" if database.startswith("sqlite") else "postgresql")
    assert len(told["stored"]) == ROUNDS
    # Both are first now and then, or they did not race at all.
    assert len(set(told["stored"])) == 2
    assert all(answer == [200, True] for person in told["statuses"] for answer in person)
