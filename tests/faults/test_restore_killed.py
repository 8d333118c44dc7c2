"""kill -9 in the middle of `restore --overwrite`: the database is the one before or the copy, never half."""

from tests.faults.fresh import ENGINE, each_apart, in_one_go, told
from tests.faults.test_restore_refuses import publish

SEED, KILLS = 20_321_124, 6
NAMES = ("heron-strip", "heron-balance")


def test_before_or_after(fresh, tmp_path, monkeypatch):
    """At six moments of it; afterwards the same restore goes through, and everything agrees."""
    monkeypatch.setenv("VAR_DIR", str(tmp_path / "var"))
    copies = [str(tmp_path / name) for name in NAMES]
    for name, copy in zip(NAMES, copies, strict=True):
        desk = fresh(name.replace("-", "_"), migrated=True)
        in_one_go(desk, publish(name), ("backup", copy))
    killed = told(desk, "-m", "tests.faults.killed_restores", str(SEED), str(KILLS), *copies)
    assert [there for _, there in killed if there not in NAMES] == [], ENGINE
    assert len(killed) == KILLS
    (status, said), (behind, _) = each_apart(
        desk, ("restore", copies[0], "--overwrite"), ("migrate", "--check")
    )
    assert (status, "Everything agrees." in said) == (0, True), said
    assert behind == 0
