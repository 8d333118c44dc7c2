"""What a command is called with wrongly, or cannot reach, is told in one line with exit status 2."""

import os
import subprocess
import sys

import pytest
from django.conf import settings

GOOD = ["resolve", "--family", "otter-liner", "--requests", "-", "--answers", "-"]
CASES = {
    "no arguments": (["import_table"], {}, "FILE.xlsx"),
    "an unknown argument": ([*GOOD, "--fast"], {}, "--fast"),
    "half of the arguments": (["resolve", "--requests", "-"], {}, "--family, --answers"),
    "a database that is not there": (
        GOOD,
        {"DATABASE_URL": "sqlite:////no/such/folder/desk.sqlite3"},
        "check DATABASE_URL",
    ),
}


@pytest.mark.parametrize("arguments, environment, words", CASES.values(), ids=CASES.keys())
def test_one_line(arguments, environment, words):
    """One line on standard error names what is wrong; the exit status is 2."""
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=settings.BASE_DIR,
        env={**os.environ, "DATABASE_URL": "sqlite://:memory:", **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert words in line
