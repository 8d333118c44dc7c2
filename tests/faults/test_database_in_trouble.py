"""Forms sent while the database is locked or its disk is full, and forms sent twice at once.

What was acknowledged is there once; what was not is not there by half, and the same form sent again
is taken. Prints the counts.
"""

import json
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def in_trouble(trouble: str, folder: Path) -> dict:
    done = subprocess.run(
        [sys.executable, "-m", "tests.faults.desk_in_trouble", trouble],
        cwd=ROOT,
        env={**os.environ, "DATABASE_URL": f"sqlite:///{folder / 'desk.sqlite3'}"},
        capture_output=True, text=True, timeout=240, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout.splitlines()[-1])


def check(what: str, end: dict) -> None:
    """Each form is there exactly once in the end, whole, and the database is sound."""
    counted = Counter(end["stored"])
    sent = [told["name"] for told in end["told"]]
    lost = [name for name in sent if not counted[name]]
    doubled = [name for name in sent if counted[name] > 1]
    refused = sum(told["first"] != 302 for told in end["told"])
    print(
        f"{what}: {len(sent)} forms, {refused} not taken at first; "
        f"{len(lost)} lost, {len(doubled)} doubled, {end['halved']} by half"
    )
    assert (lost, doubled, end["halved"], end["sound"]) == ([], [], 0, "ok")
    assert set(counted) == set(sent)
    assert {told["last"] for told in end["told"]} == {302}


def plainly_refused(end: dict) -> list[dict]:
    """The forms that were not taken, each answered with the page that says so in plain words."""
    refused = [told for told in end["told"] if told["first"] != 302]
    assert {told["first"] for told in refused} <= {500}
    assert all("nothing of it was written" in told["words"] for told in refused)
    return refused


def test_locked(tmp_path):
    """Held for a moment the desk waits; held too long it says so, and the form can be sent again."""
    end = in_trouble("locked", tmp_path)
    refused = plainly_refused(end)
    check("locked", end)
    assert 5 <= len(refused) <= 25


def test_same_form_twice(tmp_path):
    """Two threads send the same page at once: one request, and both are led to it."""
    end = in_trouble("twice", tmp_path)
    check("sent twice", end)
    assert {told["first"] for told in end["told"]} == {302}


@pytest.fixture
def small_disk(tmp_path):
    """A disk of eight megabytes. Only root may make one; CI is root."""
    place = tmp_path / "disk"
    place.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=8m", "tmpfs", str(place)], check=False
    )
    if made.returncode:
        missing = "no right to mount a small disk"
        pytest.fail(missing) if os.environ.get("CI") else pytest.skip(missing)
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_disk_full(small_disk):
    """A full disk refuses forms in plain words; what was acknowledged is whole, the rest goes later."""
    end = in_trouble("full", small_disk)
    refused = plainly_refused(end)
    check("disk full", end)
    assert len(refused) >= 10
