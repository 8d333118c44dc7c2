"""The same order by hand, sent twice at the same instant."""

import json

from tests.faults.fresh import run


def test_one_order_and_no_failure(fresh):
    """Both are given the same order; neither is told that something failed."""
    done = run(fresh(migrated=True), "-m", "tests.faults.hand_race", "20")
    assert done.returncode == 0, done.stderr
    pairs = json.loads(done.stdout.splitlines()[-1])
    assert [pair for pair in pairs if pair[0] != pair[1] or isinstance(pair[0], str)] == []
    assert len({first for first, _ in pairs}) == len(pairs) == 20
