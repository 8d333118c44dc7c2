"""A shop through faults of every kind: 0 lost, 0 doubled, 0 by half. `make faults` does it with a thousand.

FAULTS and FAULTS_SEED say how many and which.
"""

import json
import os
from collections import Counter

import pytest

from tests.faults.fresh import ENGINE, run
from tests.faults.trouble import CUT, SERVER, SHARES

FAULTS = os.environ.get("FAULTS", "80")
SEED = os.environ.get("FAULTS_SEED", "20320117")


def test_nothing_lost_nothing_doubled_nothing_by_half(fresh):
    """What was acknowledged over HTTP and what is there, in the database and in the box, agree."""
    if os.geteuid() and not os.environ.get("CI"):
        pytest.skip("only root may mount the small disk that is filled")
    # A server of its own, for it is killed: others work with the one of this run.
    within = (".ci/with_postgres",) if ENGINE == "postgresql" else ()
    said = ["--faults", FAULTS, "--seed", SEED]
    done = run(fresh(), "-m", "tests.faults.run", *said, within=within)
    assert done.stdout, done.stderr[-3000:]
    *words, last = done.stdout.splitlines()
    print("\n".join(words))
    told = json.loads(last)
    assert (told["engine"], told["wrong"], done.returncode) == (ENGINE, [], 0)
    # Every kind has come, as often as was wanted.
    assert told["faults"].keys() == SHARES.keys() - ({CUT, SERVER} if ENGINE == "sqlite" else set())
    assert sum(told["faults"].values()) >= int(FAULTS)
    # The blows fell into something, or nothing was tried.
    felt = Counter(told["felt"])
    assert all(felt[kind] for kind in ("database locked", "disk full", "two clerks on one request"))
    assert felt["kill -9 of web"] + felt["kill -9 of both"]
    assert told["acknowledged"] > int(FAULTS) / 2
