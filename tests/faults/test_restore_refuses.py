"""`restore` looks before it writes: what is no sound copy, or would overwrite, is refused in one line."""

from contextlib import ExitStack
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.faults.fresh import ENGINE, ROOT, families, fresh_database, in_one_go, run

SQL = "import sys, django; django.setup(); from django.db import connection; connection.cursor().execute(sys.argv[1])"
LATER = "INSERT INTO django_migrations (app, name, applied) VALUES ('quotes', '0999_later', '2031-03-04')"


def manage(database: str, *arguments: str) -> tuple[int, str]:
    """(exit status, what it said) of a command."""
    done = run(database, "manage.py", *arguments)
    return done.returncode, done.stdout + done.stderr


def publish(name: str) -> tuple[str, ...]:
    """The command that brings one of the demo's tables into force."""
    return "import_table", str(ROOT / "fixtures" / f"{name}.xlsx"), "--publish"


def with_table(database: str, name: str) -> str:
    in_one_go(database, publish(name))
    return database


@pytest.fixture(scope="module")
def fresh_shop(tmp_path_factory):
    """A database in use, a sound copy of it, and one made by a version that is still to come."""
    folder = tmp_path_factory.mktemp("desk")
    with ExitStack() as stack:
        made = SimpleNamespace(folder=folder, copy=folder / "copy", newer=folder / "newer")
        made.database = stack.enter_context(fresh_database(folder, "in_use", migrated=True))
        later = stack.enter_context(fresh_database(folder, "later", migrated=True))
        in_one_go(made.database, publish("heron-strip"), ("backup", str(made.copy)))
        newer = f"from django.db import connection; connection.cursor().execute({LATER!r})"
        in_one_go(later, publish("heron-strip"), ("python", newer), ("backup", str(made.newer)))
        yield made


def another_program(folder: Path) -> bytes:
    """A sound copy of this engine's kind that is none of a desk."""
    copy = folder / "another"
    with fresh_database(folder, "another") as database:
        create = "CREATE TABLE django_migrations (id integer, app text, name text, applied text)"
        assert run(database, "-c", SQL, create).returncode == 0
        if ENGINE == "sqlite":
            return (folder / "another.sqlite3").read_bytes()
        code = (
            "import sys, django, pathlib; django.setup(); from config import backup;"
            "backup.backup(pathlib.Path(sys.argv[1]))"
        )
        assert run(database, "-c", code, str(copy)).returncode == 0
    return copy.read_bytes()


def cut(copy: bytes) -> bytes:
    return copy[: len(copy) // 2]


def scribbled(copy: bytes) -> bytes:
    """Ten thousandths of it, in the middle."""
    at, much = len(copy) // 3, max(len(copy) // 20, 600)
    return copy[:at] + b"\xff" * much + copy[at + much :]


OTHER = b"PGDMP\x01" + bytes(100) if ENGINE == "sqlite" else b"SQLite format 3\x00" + bytes(100)
OTHERS = "PostgreSQL" if ENGINE == "sqlite" else "SQLite"
SPOILT = {
    "empty": (lambda shop: b"", "is no copy of a database"),
    "a letter": (lambda shop: b"Dear Mara,\n", "is no copy of a database"),
    "of the other engine": (lambda shop: OTHER, f"is a copy of a {OTHERS} database"),
    "cut off": (lambda shop: cut(shop.copy.read_bytes()), "is damaged"),
    "scribbled over": (lambda shop: scribbled(shop.copy.read_bytes()), "is damaged"),
    "of a newer version": (
        lambda shop: shop.newer.read_bytes(),
        "newer version of this program (it has quotes 0999_later)",
    ),
    "of another program": (lambda shop: another_program(shop.folder), "not of a desk"),
}


@pytest.mark.parametrize("what", SPOILT)
def test_no_sound_copy_of_a_desk(what, fresh_shop, tmp_path):
    """Refused in one line with status 2, even when told to overwrite; the database stays as it was."""
    spoil, words = SPOILT[what]
    spoiled = tmp_path / "copy"
    spoiled.write_bytes(spoil(fresh_shop))
    status, said = manage(fresh_shop.database, "restore", str(spoiled), "--overwrite")
    assert (status, words in said, said.count("\n")) == (2, True, 1), said
    assert families(fresh_shop.database) == "heron-strip"


def test_in_use(fresh_shop):
    """A database that holds anything is not written over unless told to."""
    status, said = manage(fresh_shop.database, "restore", str(fresh_shop.copy))
    assert (status, "in use" in said) == (2, True)


def test_overwritten_when_told(fresh_shop, fresh):
    """--overwrite brings the copy's content, and what was there before is itself a copy."""
    database = with_table(fresh("other", migrated=True), "heron-balance")
    status, said = manage(database, "restore", str(fresh_shop.copy), "--overwrite")
    assert (status, "Everything agrees." in said) == (0, True), said
    kept = Path(said.split("is kept in ")[1].split()[0].rstrip("."))
    before = fresh("before")
    assert manage(before, "restore", str(kept))[0] == 0
    kept.unlink()
    assert (families(database), families(before)) == ("heron-strip", "heron-balance")


def test_twice_in_a_second(fresh_shop, fresh):
    """What was there before either is kept in a copy of its own."""
    database = with_table(fresh("other", migrated=True), "heron-balance")
    second = "from django.utils import timezone; t = timezone.now().replace(microsecond=0); n = iter(range(99));"
    second += "timezone.now = lambda: t.replace(microsecond=next(n))"
    again = ("restore", str(fresh_shop.copy), "--overwrite")
    said = in_one_go(database, ("python", second), again, again)
    kept = {
        Path(line.split("is kept in ")[1].rstrip("."))
        for line in said.splitlines()
        if "is kept in" in line
    }
    assert len(kept) == 2
    for copy in kept:
        copy.unlink()


def test_a_table_of_later_goes(fresh_shop, fresh):
    """A table that a later version has made does not outlive the copy, nor stand in its way."""
    database = with_table(fresh("other", migrated=True), "heron-balance")
    created = "CREATE TABLE ordering_later (id integer PRIMARY KEY)"
    assert run(database, "-c", SQL, created).returncode == 0
    assert manage(database, "restore", str(fresh_shop.copy), "--overwrite")[0] == 0
    assert run(database, "-c", SQL, created).returncode == 0


@pytest.mark.parametrize(
    ("place", "words"), [("copy", "is there already"), ("no/such/folder/copy", "is not there")]
)
def test_backup_refuses(fresh_shop, place, words):
    """A copy is never written over another file, nor into a folder that is not there."""
    status, said = manage(fresh_shop.database, "backup", str(fresh_shop.folder / place))
    assert (status, words in said) == (2, True), said


def test_only_its_owner_reads_it(fresh_shop):
    """A copy holds what customers have told the desk: nobody else may read the file."""
    assert oct(fresh_shop.copy.stat().st_mode & 0o777) == "0o600"
