"""While the database is held, or its disk is full, no form of the desk ends in a bare failure: what was typed comes back."""

import json
import os

import pytest

from tests.access.expected import EXPECTED
from tests.faults.fresh import ENGINE, run

POSTS = {name for name, (_, write) in EXPECTED.items() if write != "-----"}


def sent(fresh, *arguments):
    done = run(fresh(migrated=True), "-m", "tests.faults.held_pages", *arguments)
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout.splitlines()[-1])


def hold_to(told):
    """Every address was tried; none failed; who could not write says so, and gives back all but secrets."""
    assert told.keys() == POSTS
    assert {name: said[0] for name, said in told.items() if said[0] == 500} == {}
    stopped = {name: said for name, said in told.items() if said[0] == 503}
    # Or the forms were refused before anything was written, and nothing was tried.
    assert len(stopped) > len(POSTS) / 3, sorted(stopped)
    lost = {name: lost for name, (_, lost, _, _) in stopped.items() if lost}
    # Of what is asked for by itself or by a program, the asker holds the words.
    assert {name for name in lost if not name.startswith("api:")} == set(), lost
    assert {name: echoed for name, (_, _, echoed, _) in stopped.items() if echoed} == {}
    assert all(wait.isdigit() for _, _, _, wait in stopped.values())


def test_held(fresh):
    """Another program holds the database: each form that takes a post is sent."""
    hold_to(sent(fresh))


def test_full(fresh, tmp_path):
    """The disk is full to the last byte: the same."""
    if ENGINE != "sqlite" or (os.geteuid() and not os.environ.get("CI")):
        pytest.skip(
            "only root may mount the small disk; PostgreSQL's is filled in test_many_faults.py"
        )
    hold_to(sent(fresh, str(tmp_path / "disk")))
