"""Copies of the whole database, taken while the desk works, and put back.

SQLite: the file that comes out is a database itself, copied by SQLite's own online backup (one
consistent moment, writers go on). PostgreSQL: an archive of pg_dump's custom format, of one snapshot.
A copy holds everything the desk knows of its customers, so only its owner may read the file.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import tempfile
from contextlib import closing, suppress
from pathlib import Path

from django.apps import apps
from django.contrib.auth.models import User
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from config.on_disk import keep_file, keep_names
from config.private import keep_private

SQLITE_HEAD, POSTGRES_HEAD = b"SQLite format 3\x00", b"PGDMP"
# What every copy of a desk has been through.
FIRST = {(app, "0001_initial") for app in ("sizing", "quotes", "ordering")}
# A table of a later version would outlive the copy and stand in the way of its migrations: all go.
CLEARED = b"""
BEGIN;
DO $$ DECLARE held text; BEGIN
    FOR held IN SELECT tablename FROM pg_tables WHERE schemaname = 'public' LOOP
        EXECUTE format('DROP TABLE public.%I CASCADE', held);
    END LOOP;
END $$;
"""


class BackupError(Exception):
    """Why there is no copy, or why one is not put back: one sentence, with how to mend it."""


def backup(to: Path) -> int:
    """Copy the database into a new file; its size in bytes. The file is there whole or not at all."""
    if to.exists():
        raise BackupError(f"{to} is there already: name a new file, or move that one away.")
    if not to.parent.is_dir():
        raise BackupError(f"The folder {to.parent} is not there: make it first.")
    draft = to.with_name(f"{to.name}.{os.getpid()}.part")
    try:
        os.close(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        _copy_out(draft)
        keep_file(draft)
        # Unlike a renaming, a link does not write over a file that came up meanwhile.
        os.link(draft, to)
        keep_names(to.absolute().parent)
    except OSError as problem:
        raise BackupError(f"{to} cannot be written: {problem.strerror or problem}.") from None
    except sqlite3.OperationalError as problem:
        raise BackupError(
            f"{to} cannot be written ({problem}): look whether there is room for it."
        ) from None
    finally:
        draft.unlink(missing_ok=True)
    return to.stat().st_size


def check(file: Path) -> None:
    """Whether this is a sound copy that this desk can read. Raises BackupError."""
    if not file.is_file():
        raise BackupError(f"There is no file {file}.")
    with file.open("rb") as opened:
        head = opened.read(16)
    wanted = SQLITE_HEAD if connection.vendor == "sqlite" else POSTGRES_HEAD
    if not head.startswith(wanted):
        other = {SQLITE_HEAD: "SQLite", POSTGRES_HEAD: "PostgreSQL"}.get(head, "")
        other = "PostgreSQL" if head.startswith(POSTGRES_HEAD) else other
        what = f"a copy of a {other} database" if other else "no copy of a database"
        raise BackupError(
            f"{file} is {what}; this desk keeps its data in {connection.display_name}."
        )
    made = _made_sqlite(file) if connection.vendor == "sqlite" else _made_postgres(file)
    if not made >= FIRST:
        raise BackupError(f"{file} is a sound copy, but not of a desk: look for another file.")
    newer = made - _known_migrations()
    if newer:
        app, name = min(newer)
        raise BackupError(
            f"{file} was made by a newer version of this program (it has {app} {name})."
        )


def restore(file: Path, overwrite: bool, kept: Path | None = None) -> None:
    """Put a copy in the place of the present database. Raises BackupError.

    A database that holds anything is written over only if told to, and copied to `kept` before.
    One transaction: whatever ends it half-way, the present database stays as it was.
    """
    check(file)
    if not overwrite and is_used():
        raise BackupError(
            "The present database is in use: say --overwrite if the copy is to take its place. "
            "What is there now is kept in a copy of its own."
        )
    if kept:
        backup(kept)
    keep_private()
    connection.close()
    if connection.vendor == "sqlite":
        try:
            _put_back_sqlite(file)
        except (sqlite3.OperationalError, OSError) as problem:
            raise BackupError(
                f"The copy was not put back ({problem}): look whether the database's disk has room for it."
            ) from None
    else:
        _put_back_postgres(file)


def _put_back_sqlite(file: Path) -> None:
    with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(_path())) as target:
        source.backup(target)
        target.execute("PRAGMA journal_mode=WAL")
    keep_file(Path(_path()))
    keep_names(Path(_path()).absolute().parent)


def is_used() -> bool:
    """Whether anybody has worked in the present database."""
    tables = set(connection.introspection.table_names())
    ours = [m for m in apps.get_models() if m._meta.app_label in ("sizing", "quotes", "ordering")]
    return any(
        model._base_manager.exists() for model in (User, *ours) if model._meta.db_table in tables
    )


def _path() -> str:
    return str(connection.settings_dict["NAME"])


def _copy_out(draft: Path) -> None:
    if connection.vendor == "sqlite":
        # A connection of its own: one moment of the database, whatever this process is doing.
        source = sqlite3.connect(_to_read(Path(_path())), uri=True, timeout=60)
        with closing(source), closing(sqlite3.connect(draft)) as target:
            source.backup(target)
            target.execute("PRAGMA journal_mode=DELETE")
        _made_sqlite(draft)
    else:
        _run("pg_dump", "--format=custom", "--no-owner", "--file", str(draft))


def _to_read(file: Path) -> str:
    """Its address for SQLite, whatever it is called: a # or ? in a name would end it."""
    return f"{file.absolute().as_uri()}?mode=ro"


def _made_sqlite(file: Path) -> set[tuple[str, str]]:
    """The migrations that a sound copy has been through. Raises BackupError for any other."""
    try:
        with closing(sqlite3.connect(_to_read(file), uri=True)) as copy:
            (said,) = copy.execute("PRAGMA integrity_check(1)").fetchone()
            dangling = copy.execute("PRAGMA foreign_key_check").fetchone()
            made = {tuple(row) for row in copy.execute("SELECT app, name FROM django_migrations")}
    except sqlite3.DatabaseError as problem:
        raise BackupError(f"{file} is damaged or no copy of a desk: {problem}.") from None
    if said != "ok" or dangling:
        raise BackupError(f"{file} is damaged: {said if said != 'ok' else 'rows are missing'}.")
    return made


def _made_postgres(file: Path) -> set[tuple[str, str]]:
    """The same of an archive; it is read to its end, for only that tells that it is whole."""
    try:
        _run("pg_restore", f"--file={os.devnull}", str(file))
        table = ("--data-only", "--table=django_migrations")
        rows = _run("pg_restore", *table, "--file=-", str(file)).splitlines()
    except BackupError as problem:
        raise BackupError(f"{file} is damaged: {problem}") from None
    return {tuple(row.split("\t")[1:3]) for row in rows if row.count("\t") == 3}


def _put_back_postgres(file: Path) -> None:
    """Everything goes and the copy's rows come in one transaction, which only the last line commits.

    Whoever is killed meanwhile, this program or one of the two it runs, that line is then not sent.
    """
    reader, writer = _program("pg_restore"), _program("psql")
    env = _environment()
    with (
        tempfile.TemporaryFile() as words,
        # No shell, two fixed programs, and a file's name as it is.
        subprocess.Popen(  # noqa: S603  # nosec B603
            [reader, "--no-owner", "--no-privileges", "--file=-", str(file)],
            stdout=subprocess.PIPE, stderr=words,
        ) as source,
        subprocess.Popen(  # noqa: S603  # nosec B603
            [writer, "-X", "-q", "-v", "ON_ERROR_STOP=1", "-f", "-"],
            env=env, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=words,
        ) as target,
    ):  # fmt: skip
        with suppress(BrokenPipeError):
            target.stdin.write(CLEARED)
            shutil.copyfileobj(source.stdout, target.stdin)
            if source.wait() == 0:
                target.stdin.write(b"COMMIT;\n")
        source.stdout.close()
        with suppress(BrokenPipeError):
            target.stdin.close()
        done = (source.wait(), target.wait())
        words.seek(0)
        said = words.read().decode(errors="replace").strip().splitlines()
    if done != (0, 0):
        raise BackupError(f"The copy was not put back: {said[-1] if said else 'no reason given'}")


def _known_migrations() -> set[tuple[str, str]]:
    return set(MigrationLoader(None, ignore_no_migrations=True).disk_migrations)


def _run(program: str, *arguments: str) -> str:
    """What one of PostgreSQL's own programs says of the configured database."""
    # No shell, one of three fixed programs, and a file's name as it is.
    done = subprocess.run(  # noqa: S603  # nosec B603
        [_program(program), *arguments],
        env=_environment(), capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        words = done.stderr.strip().splitlines() or ["no reason given"]
        raise BackupError(f"{program} failed: {words[-1]}")
    return done.stdout


def _program(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        raise BackupError(
            f"{name} is not installed: 'apt-get install postgresql-client' brings it."
        )
    return found


def _environment() -> dict[str, str]:
    """Where the database is. The password goes this way: arguments can be read by everybody on the machine."""
    said = connection.settings_dict
    return {
        **os.environ,
        "PGHOST": said["HOST"], "PGPORT": str(said["PORT"] or 5432), "PGUSER": said["USER"],
        "PGPASSWORD": said["PASSWORD"], "PGDATABASE": said["NAME"],
    }  # fmt: skip
