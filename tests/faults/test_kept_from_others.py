"""What the desk keeps on disk is its owner's alone, from the first command on."""

import stat
from pathlib import Path

import pytest

from tests.faults.fresh import ENGINE, ROOT, in_one_go, run

pytestmark = pytest.mark.skipif(ENGINE != "sqlite", reason="PostgreSQL keeps its files itself")


def others_may(file: Path) -> int:
    """The rights of everybody but its owner."""
    return stat.S_IMODE(file.stat().st_mode) & 0o077


def done(database: str, *command: str, **env: str) -> Path:
    """The database's file after a command."""
    said = run(database, "manage.py", *command, **env)
    assert said.returncode == 0, said.stderr
    return Path(database.removeprefix("sqlite:///"))


def test_a_database_made_by_migrate(fresh):
    """And it stays as its owner has set it since. The smallest app's migrations begin as all do; below all are made."""
    database, migrate = fresh(), ("migrate", "contenttypes", "--verbosity", "0")
    file = done(database, *migrate)
    assert others_may(file) == 0
    file.chmod(0o640)
    assert others_may(done(database, *migrate)) == 0o040


def test_a_database_made_by_a_command_or_a_copy(fresh, tmp_path):
    """import_table sets one up; restore brings one."""
    strip = str(ROOT / "fixtures" / "heron-strip.xlsx")
    database, copy = fresh(), str(tmp_path / "copy")
    in_one_go(database, ("import_table", strip, "--publish"), ("backup", copy))
    assert others_may(Path(database.removeprefix("sqlite:///"))) == 0
    assert others_may(done(fresh("other"), "restore", copy)) == 0


def test_the_folder_beside_it(fresh, tmp_path):
    """The key, and mail written to files."""
    var = tmp_path / "var"
    done(fresh(migrated=True), "verify", VAR_DIR=str(var), SECRET_KEY="")
    assert others_may(var) == 0 and others_may(var / "secret_key") == 0
