"""Two people accept the same issue at the same instant: one acceptance, and no error page."""

import json

from tests.faults.fresh import ENGINE, run

ROUNDS = 60


def test_one_acceptance_each_of_sixty_times(fresh):
    """Of two processes pressing at once one is stored, and both are shown who accepted."""
    done = run(fresh(migrated=True), "-m", "tests.faults.accept_race", str(ROUNDS))
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout.splitlines()[-1])
    assert told["engine"] == ENGINE
    assert len(told["stored"]) == ROUNDS
    # Both are first now and then, or they did not race at all.
    assert len(set(told["stored"])) == 2
    assert all(answer == [200, True] for person in told["statuses"] for answer in person)
