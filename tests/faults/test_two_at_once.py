"""Two who do the same thing at the same instant, many times over."""

import pytest

from tests.faults.fresh import fresh_database, once, told

ROUNDS = 20


@pytest.fixture(scope="module")
def fresh_shop(tmp_path_factory):
    """What each pair was given, by what they did."""
    folder = tmp_path_factory.mktemp("pairs")

    def race():
        with fresh_database(folder, "pairs", migrated=True) as database:
            return told(database, "-m", "tests.faults.two_at_once", str(ROUNDS))

    return once(folder, "two_at_once", race)


def test_one_order_by_hand(fresh_shop):
    """Both are given the same order; neither is told that something failed."""
    pairs = fresh_shop["orders"]
    assert [pair for pair in pairs if pair[0] != pair[1] or isinstance(pair[0], str)] == []
    assert len({first for first, _ in pairs}) == len(pairs) == ROUNDS


def test_one_morning(fresh_shop):
    """Two workers both come to the end of a day's first round, and the windows are published once."""
    windows = {count for pair in fresh_shop["mornings"] for count in pair}
    assert len(windows) == 1
    assert windows.pop() > 0
