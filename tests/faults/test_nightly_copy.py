"""The line of a crontab that the README gives does what it says there."""

import os
import re
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.faults.fresh import ENGINE, ROOT, in_one_go

pytestmark = pytest.mark.skipif(ENGINE != "sqlite", reason="the line is the same on either engine")
LINE = re.search(r"^15 2 \* \* \* +(.+)$", (ROOT / "README.md").read_text(), re.MULTILINE)


@pytest.fixture
def shop(fresh, tmp_path):
    """A shop's folder with the program in it, its settings, a place for copies with an old one."""
    folder, copies = tmp_path / "sashdesk", tmp_path / "backup"
    (folder / "var").mkdir(parents=True)
    copies.mkdir()
    for name in (
        "manage.py",
        "config",
        "sizing",
        "quotes",
        "ordering",
        "templates",
        "locale",
        "fixtures",
    ):
        (folder / name).symlink_to(ROOT / name)
    (folder / ".venv").symlink_to(sys.prefix)
    database = fresh(migrated=True)
    in_one_go(database, ("import_table", str(ROOT / "fixtures" / "heron-strip.xlsx"), "--publish"))
    (tmp_path / "desk.env").write_text(f"DATABASE_URL={database}\nVAR_DIR={folder}/var\n")
    (copies / "desk-2020-01-01").touch()
    os.utime(copies / "desk-2020-01-01", (time.time() - 40 * 86400,) * 2)
    return tmp_path


def night(shop: Path) -> list[str]:
    """What lies among the copies after one night."""
    line = (
        LINE[1].replace("\\%", "%").replace("/srv", str(shop)).replace("/backup", f"{shop}/backup")
    )
    subprocess.run(["sh", "-c", line], env={"PATH": os.environ["PATH"]}, capture_output=True)
    return sorted(file.name.partition("-2")[0] for file in (shop / "backup").iterdir())


def test_a_copy_the_key_and_the_list(shop):
    """With the settings of the file alone; what is older than a month is gone."""
    (shop / "sashdesk" / "var" / "erased.jsonl").touch()
    assert night(shop) == ["desk", "erased.jsonl", "secret_key"]
    (copy,) = (shop / "backup").glob("desk-*")
    assert copy.stat().st_size > 100_000 and copy.name != "desk-2020-01-01"
    assert stat.S_IMODE((shop / "backup" / "secret_key").stat().st_mode) == 0o600


def test_old_copies_stay_where_none_is_made(shop):
    """Told of another database than the desk's."""
    settings = (shop / "desk.env").read_text()
    (shop / "desk.env").write_text(f"{settings}DATABASE_URL=sqlite:///{shop}/nothing.sqlite3\n")
    assert "desk" in night(shop)
    assert (shop / "backup" / "desk-2020-01-01").exists()
