"""`restore` looks before it writes: what is no sound copy, or would overwrite, is refused in one line."""

import subprocess
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.faults.fresh import (
    ENGINE,
    ROOT,
    asked,
    each_apart,
    families,
    fresh_database,
    in_one_go,
    once,
    run,
)

LATER = "INSERT INTO django_migrations (app, name, applied) VALUES ('quotes', '0999_later', '2031-03-04')"
FAMILIES = "from sizing.models import Family; print(*Family.objects.values_list('code', flat=True))"
TABLES = {
    "sqlite": "SELECT name FROM sqlite_master",
    "postgresql": "SELECT tablename FROM pg_tables WHERE schemaname = 'public'",
}[ENGINE]
REFUSED_PLACES = {"copy": "is there already", "no/such/folder/copy": "is not there"}


def manage(database: str, *arguments: str) -> tuple[int, str]:
    """(exit status, what it said) of a command."""
    done = run(database, "manage.py", *arguments)
    return done.returncode, done.stdout + done.stderr


def publish(name: str) -> tuple[str, ...]:
    """The command that brings one of the demo's tables into force."""
    return "import_table", str(ROOT / "fixtures" / f"{name}.xlsx"), "--publish"


@pytest.fixture(scope="module")
def fresh_shop(tmp_path_factory):
    """A sound copy of a database in use, and what came of each command that has to be refused there:
    (exit status, what it said, the families after it).
    """
    folder = tmp_path_factory.mktemp("desk")
    made = once(folder, "restore_refuses", lambda: tried(folder))
    return SimpleNamespace(**made | {"copy": Path(made["copy"])})


def tried(folder: Path) -> dict:
    copy, newer = folder / "copy", folder / "newer"
    with (
        fresh_database(folder, "in_use", migrated=True) as database,
        fresh_database(folder, "later", migrated=True) as later,
    ):
        in_one_go(database, publish("heron-strip"), ("backup", str(copy)))
        asked(later, LATER)
        in_one_go(later, publish("heron-strip"), ("backup", str(newer)))
        shop = SimpleNamespace(folder=folder, copy=copy, newer=newer)
        commands = {"in use": ("restore", str(copy))}
        for at, (what, (spoil, _)) in enumerate(SPOILT.items()):
            spoiled = folder / f"spoiled-{at}"
            spoiled.write_bytes(spoil(shop))
            commands[what] = ("restore", str(spoiled), "--overwrite")
        for place in REFUSED_PLACES:
            commands[place] = ("backup", str(folder / place))
        looks = ("python", FAMILIES)
        said = each_apart(
            database, *(one for command in commands.values() for one in (command, looks))
        )
        there = [words.strip() for _, words in said[1::2]]
        refused = [(*told, held) for told, held in zip(said[::2], there, strict=True)]
        return {"copy": str(copy), "refused": dict(zip(commands, refused, strict=True))}


def another_program(folder: Path) -> bytes:
    """A sound copy of this engine's kind that is none of a desk."""
    with fresh_database(folder, "another") as database:
        asked(
            database,
            "CREATE TABLE django_migrations (id integer, app text, name text, applied text)",
        )
        if ENGINE == "sqlite":
            return (folder / "another.sqlite3").read_bytes()
        return subprocess.run(
            ["pg_dump", "--format=custom", "--no-owner", database], check=True, capture_output=True
        ).stdout


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
def test_no_sound_copy_of_a_desk(what, fresh_shop):
    """Refused in one line with status 2, even when told to overwrite; the database stays as it was."""
    status, said, there = fresh_shop.refused[what]
    assert (status, SPOILT[what][1] in said, said.count("\n")) == (2, True, 1), said
    assert there == "heron-strip"


def test_in_use(fresh_shop):
    """A database that holds anything is not written over unless told to."""
    status, said, there = fresh_shop.refused["in use"]
    assert (status, "in use" in said, there) == (2, True, "heron-strip"), said


def test_overwritten_when_told(fresh_shop, fresh):
    """--overwrite brings the copy's content, and what was there before is itself a copy."""
    database = fresh("other", migrated=True)
    published, (status, said) = each_apart(
        database, publish("heron-balance"), ("restore", str(fresh_shop.copy), "--overwrite")
    )
    assert published[0] == 0, published
    assert (status, "Everything agrees." in said) == (0, True), said
    kept = Path(said.split("is kept in ")[1].split()[0].rstrip("."))
    before = fresh("before")
    assert manage(before, "restore", str(kept))[0] == 0
    kept.unlink()
    assert (families(database), families(before)) == ("heron-strip", "heron-balance")


def test_twice_in_a_second(fresh_shop, fresh):
    """What was there before either is kept in a copy of its own."""
    second = "from django.utils import timezone; t = timezone.now().replace(microsecond=0); n = iter(range(99));"
    second += "timezone.now = lambda: t.replace(microsecond=next(n))"
    again = ("restore", str(fresh_shop.copy), "--overwrite")
    said = in_one_go(
        fresh("other", migrated=True), publish("heron-balance"), ("python", second), again, again
    )
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
    database = fresh("other", migrated=True)
    created = "CREATE TABLE ordering_later (id integer PRIMARY KEY)"
    asked(database, created)
    in_one_go(database, publish("heron-balance"), ("restore", str(fresh_shop.copy), "--overwrite"))
    assert families(database) == "heron-strip"
    asked(database, created)


@pytest.mark.parametrize("place", REFUSED_PLACES)
def test_backup_refuses(fresh_shop, place):
    """A copy is never written over another file, nor into a folder that is not there."""
    status, said, _ = fresh_shop.refused[place]
    assert (status, REFUSED_PLACES[place] in said) == (2, True), said


def test_only_its_owner_reads_it(fresh_shop):
    """A copy holds what customers have told the desk: nobody else may read the file."""
    assert oct(fresh_shop.copy.stat().st_mode & 0o777) == "0o600"


def test_nothing_is_no_copy(fresh, tmp_path):
    """A nightly copy that was told of another database than the desk's would be one of nothing, night after night.

    Nor does a copy that is refused leave tables where there were none.
    """
    copy, spoiled = tmp_path / "copy", tmp_path / "spoiled"
    spoiled.write_bytes(b"Dear Mara,\n")
    empty, set_up, backup = fresh("empty"), fresh("set_up", migrated=True), ("backup", str(copy))
    of_empty, refused = each_apart(empty, backup, ("restore", str(spoiled)))
    of_set_up, verified = each_apart(set_up, backup, ("verify",))
    for status, said in (of_empty, of_set_up):
        assert (status, "holds nothing: give this command the DATABASE_URL" in said) == (2, True), (
            said
        )
    assert list(tmp_path.glob("copy*")) == []
    assert (refused[0], "is no copy of a database" in refused[1]) == (2, True), refused
    assert asked(empty, TABLES) == []
    status, said = verified
    assert status == 0 and "yet: is it the desk's DATABASE_URL?" in said and "agrees" not in said


ISSUED = "from tests.quotes import shop; shop.set_up(); shop.issued_quote()"


def test_beside_another_key(fresh, tmp_path):
    """A copy says what has to be kept with it; put back without that key it is told what opens nothing, and why."""
    copy, key = tmp_path / "copy", {"SECRET_KEY": "", "VAR_DIR": str(tmp_path / "var")}
    there, elsewhere = fresh("there", migrated=True), key | {"VAR_DIR": str(tmp_path / "elsewhere")}
    (tmp_path / "var").mkdir()
    (tmp_path / "var" / "erased.jsonl").touch()
    said = in_one_go(there, ("python", ISSUED), ("backup", str(copy)), **key)
    assert f"Keep {tmp_path}/var/secret_key with it" in said
    assert f"And {tmp_path}/var/erased.jsonl" in said
    done = run(fresh("here"), "manage.py", "restore", str(copy), **elsewhere)
    assert (done.returncode, done.stderr) == (1, "1 finding.\n"), done.stdout
    assert f"another key than {tmp_path}/elsewhere/secret_key is" in done.stdout
    done = run(fresh("again"), "manage.py", "restore", str(copy), **key)
    assert (done.returncode, done.stderr) == (0, ""), done.stdout
