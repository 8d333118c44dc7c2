"""A copy may be called as its owner likes, and lie in a folder of any name."""

import pytest

from tests.faults.fresh import ROOT, families, in_one_go, run


@pytest.mark.parametrize("name", ["desk #2", "what is this?", "100%41"])
def test_copied_and_put_back(name, fresh, tmp_path):
    """No other file is looked at, or made, in its place."""
    folder = tmp_path / name
    folder.mkdir()
    database, copy = fresh(migrated=True), folder / name
    publish = ("import_table", str(ROOT / "fixtures" / "heron-strip.xlsx"), "--publish")
    in_one_go(database, publish)
    taken = run(database, "manage.py", "backup", str(copy))
    assert taken.returncode == 0, taken.stderr
    other = fresh("other")
    done = run(other, "manage.py", "restore", str(copy))
    assert (done.returncode, done.stderr) == (0, ""), done.stdout
    assert families(other) == families(database)
    assert [file.name for file in folder.iterdir()] == [name]
