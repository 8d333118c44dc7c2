"""The database is held by another program while a clerk saves: the page comes back with all that was typed."""

import json

from tests.faults.fresh import run


def test_counter_page_comes_back(fresh):
    """Saved by hand: told in plain words, every box as typed, nothing stored; sent again it is taken."""
    done = run(fresh(migrated=True), "-m", "tests.faults.held_counter")
    assert done.returncode == 0, done.stderr[-2000:]
    saved, by_itself, again = json.loads(done.stdout.splitlines()[-1])
    assert saved[:3] == [503, True, 0]
    assert "nothing of this was saved" in saved[3] and "press Save again" in saved[3]
    assert by_itself[0] == 200 and by_itself[2] == 0
    assert "Not saved: the database does not answer." in by_itself[3]
    assert again[:3] == [302, True, 1]
