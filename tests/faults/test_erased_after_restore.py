"""Whoever was erased stays erased, even if a copy from before is put back."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

# The copies are SQLite files; what is erased again does not depend on the engine.
pytestmark = pytest.mark.skipif(
    connection.vendor != "sqlite", reason="these are copies of SQLite files"
)

ROOT = Path(__file__).resolve().parents[2]
MAKE = 'from quotes.models import Customer; Customer.objects.create(name="Zebulon Quartzbeck")'
ERASE = "from ordering.events import erase_customer; erase_customer(1, 'max')"
NAME = "from quotes.models import Customer; print(Customer.objects.get().name)"


@pytest.fixture
def desk(tmp_path):
    """Runs a command on a desk of its own; what it said."""

    def manage(*arguments: str) -> str:
        env = {
            **os.environ,
            "DATABASE_URL": f"sqlite:///{tmp_path / 'desk.sqlite3'}",
            "VAR_DIR": str(tmp_path / "var"),
        }
        done = subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT, env=env, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout

    manage("migrate", "--verbosity", "0")
    return manage


def python(desk, code: str) -> str:
    return desk("shell", "--verbosity", "0", "--command", code)


@pytest.mark.parametrize("lost", ["nothing", "the list", "the database"])
def test_erased_again(desk, tmp_path, lost):
    """The list beside the database or the erasures in it are enough: the older copy loses the name again."""
    python(desk, MAKE)
    desk("backup", str(tmp_path / "copy"))
    python(desk, ERASE)
    assert "Quartzbeck" not in (tmp_path / "var" / "erased.jsonl").read_text()
    if lost == "the list":
        (tmp_path / "var" / "erased.jsonl").unlink()
    if lost == "the database":
        (tmp_path / "desk.sqlite3").unlink()
    said = desk("restore", str(tmp_path / "copy"), "--overwrite")
    assert "1 customers erased after it was made were erased again." in said
    assert python(desk, NAME).strip() == "Erased customer"


def test_another_with_the_same_number(desk, tmp_path):
    """A number alone erases nobody: another customer who has it keeps their name."""
    python(desk, MAKE)
    python(desk, ERASE)
    (tmp_path / "desk.sqlite3").unlink()
    desk("migrate", "--verbosity", "0")
    python(desk, MAKE)
    desk("backup", str(tmp_path / "copy"))
    said = desk("restore", str(tmp_path / "copy"), "--overwrite")
    assert "erased again" not in said
    assert python(desk, NAME).strip() == "Zebulon Quartzbeck"
