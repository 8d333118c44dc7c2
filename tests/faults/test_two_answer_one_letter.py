"""One letter, answered by two people of the factory at the same instant."""

import json

from tests.faults.fresh import run


def test_nothing_lost_and_nothing_replaced_unseen(fresh):
    """What only one of them answered is kept; of the opening that both answered one price stands, and the
    other person is told."""
    done = run(fresh(migrated=True), "-m", "tests.faults.letter_race", "8")
    assert done.returncode == 0, done.stderr
    rounds = json.loads(done.stdout.splitlines()[-1])
    assert len(rounds) == 8
    for statuses, (both, one, other), counts in rounds:
        assert sorted(statuses) == [302, 422]
        winner = "Jo Marsh: 100.00 USD" if statuses[0] == 302 else "Kit Rowan: 300.00 USD"
        assert [both, one, other] == [winner, "Jo Marsh: 20.00 USD", "Kit Rowan: 30.00 USD"]
        assert counts == [1, 1, 1]
