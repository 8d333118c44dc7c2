"""kill -9 of web and worker at random points: every event has its one notice, no order is placed by half.

KILL_ROUNDS sets how often (30 without it).
"""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.test_accept_race import fresh_postgres

ROUNDS = int(os.environ.get("KILL_ROUNDS", "30"))
SEED = int(os.environ.get("KILL_SEED", "20300304"))
ROOT = Path(__file__).resolve().parents[2]


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


@pytest.fixture
def box(tmp_path):
    """(folder, port) of an SMTP server that runs throughout."""
    folder, port = tmp_path / "box", free_port()
    folder.mkdir()
    server = subprocess.Popen(
        [sys.executable, "-m", "tests.faults.smtp_box", str(folder), str(port)],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert server.stdout.readline() == "ready\n"
    yield folder, port
    server.kill()
    server.wait()


@pytest.fixture(params=["sqlite", "postgres"])
def database(request, tmp_path):
    """A fresh SQLite file, or a fresh database on the PostgreSQL server that DATABASE_URL names."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'kills.sqlite3'}"
        return
    address = os.environ.get("DATABASE_URL", "")
    if not address.startswith("postgres"):
        pytest.skip("DATABASE_URL names no PostgreSQL server")
    with fresh_postgres(address) as fresh:
        yield fresh


def test_nothing_lost_nothing_doubled_nothing_by_half(database, box):
    """What is in the database and what is in the box agree event by event, whatever was killed when.

    A receiver knows a message by its Message-ID; second copies (from the window that SMTP leaves
    between taking a message and saying so) are counted and printed, not hidden.
    """
    folder, port = box
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "tests.faults.kill_place_ship_notify",
            str(ROUNDS),
            str(SEED),
            str(folder),
        ],
        cwd=ROOT,
        env={
            **os.environ,
            "DATABASE_URL": database,
            "EMAIL_HOST": "127.0.0.1",
            "EMAIL_PORT": str(port),
            "WEB_PORT": str(free_port()),
        },
        capture_output=True,
        text=True,
        timeout=60 + 12 * ROUNDS,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout.splitlines()[-1])
    print(found)
    assert found["wrong"] == []
    assert found["events"] == 5 * ROUNDS
    assert found["notices"] == 5 * ROUNDS
    assert sum(found["kills"].values()) == ROUNDS
    # Some blows fell into a request and into a sending, or nothing was tried.
    assert found["unanswered"] > 0
    assert found["tried_again"] > 0
