"""kill -9 in the middle of `import_history`: nobody goes on by what was learned of another past."""

from tests.faults.fresh import ROOT, in_one_go, told


def test_what_was_learned_before_holds_no_longer(fresh, tmp_path):
    """Once it is known that nobody takes it in any more the past is read as it is, and the worker publishes it; the
    same file taken in again finishes it."""
    desk = fresh(migrated=True)
    in_one_go(desk, ("import_table", str(ROOT / "fixtures" / "heron-strip.xlsx"), "--publish"))
    said = told(desk, "-m", "tests.faults.killed_import", str(tmp_path))
    assert 60 < said["stored"] < 20_040, "killed too late"
    # While it may still be going on the fit from before it counts.
    assert said["same at once"]
    assert not said["same later"]
    assert said["learned later"] == said["stored"]
    assert said["kept"] and said["published anew"] and said["settled"]
    assert said["in the end"] == 20_040
