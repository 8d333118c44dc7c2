"""The harness is able to fail: the desk broken on purpose, one promise at a time, is found out by the same judge."""

import json
import os

import pytest

from tests.faults.broken import BROKEN
from tests.faults.fresh import run

# Faults of the kinds that bring it out, as many as make it sure; what would hide one another runs apart.
RUNS = {
    "in two steps": (30, ["notice after"]),
    "lost": (18, ["overwritten", "sent before", "measure forgotten"]),
    "doubled": (12, ["deposit again", "remade again", "by hand again"]),
    "by half": (16, ["wrong page", "line forgotten"]),
    "given up": (12, ["dropped"]),
    "doubled unseen": (10, ["not noted"]),
}


@pytest.mark.parametrize("how", RUNS)
def test_found(how, fresh):
    """A run against that desk ends with each thing that is wrong, said as what it is."""
    if os.geteuid() and not os.environ.get("CI"):
        pytest.skip("only root may mount the small disk that the database lies on")
    faults, broken = RUNS[how]
    kinds = ["--faults", str(faults), "--seed", "20320117", "--broken", *broken]
    done = run(fresh(), "-m", "tests.faults.run", *kinds)
    assert done.stdout, done.stderr[-3000:]
    told = json.loads(done.stdout.splitlines()[-1])
    found = " ".join(sentence for _, sentence in told["wrong"])
    assert done.returncode == 1
    assert [name for name in broken if BROKEN[name][2] not in found] == [], told["wrong"]
