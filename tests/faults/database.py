"""The harness's database: on a small disk of its own, and waiting for locks no longer than a test can."""

import os
import shutil
from contextlib import ExitStack, contextmanager
from pathlib import Path

from tests.faults.fresh import fill_migrated, migrated_desk
from tests.faults.small_disk import small_disk
from tests.faults.trouble import PATIENCE


@contextmanager
def database_on(folder: Path):
    """The configured database, migrated, on a small disk at `folder`; its Disk."""
    from django.conf import settings
    from django.db import connection

    said = settings.DATABASES["default"]
    if connection.vendor == "sqlite":
        with small_disk(folder, 64) as disk:
            shutil.copy(migrated_desk(), folder / "desk.sqlite3")
            said["NAME"] = connection.settings_dict["NAME"] = str(folder / "desk.sqlite3")
            be_impatient()
            yield disk
        return
    if connection.introspection.table_names():
        raise SystemExit("This database holds something: name an empty one in DATABASE_URL.")
    name = connection.settings_dict["NAME"]
    with connection.cursor() as cursor:
        cursor.execute("SHOW data_directory")
        (data,) = cursor.fetchone()
    owner = Path(data).stat().st_uid
    with small_disk(folder, 96, owner) as disk, ExitStack() as after:
        space = f"space_{os.getpid()}"
        with connection.cursor() as cursor:
            cursor.execute(f"CREATE TABLESPACE {space} LOCATION '{folder}'")
        after.callback(_drop, name, space)
        with _beside(name) as cursor:
            cursor.execute(f"ALTER DATABASE {name} SET TABLESPACE {space}")
        fill_migrated(os.environ["DATABASE_URL"])
        be_impatient()
        yield disk


def be_impatient(seconds: float = PATIENCE) -> None:
    """Wait for a lock for so long only: what takes the desk twenty seconds is over at once."""
    from django.conf import settings
    from django.db import connection

    for said in (settings.DATABASES["default"], connection.settings_dict):
        if connection.vendor == "sqlite":
            said["OPTIONS"]["timeout"] = seconds
        else:
            said["OPTIONS"]["options"] = f"-c lock_timeout={int(seconds * 1000)}"


@contextmanager
def _beside(name: str):
    """A cursor of another database of the same server, while nobody is in the one of that name."""
    import psycopg
    from django.db import connections

    connections.close_all()
    said = connections["default"].settings_dict
    where = {"host": said["HOST"], "port": said["PORT"], "user": said["USER"], "password": said["PASSWORD"]}  # fmt: skip
    with psycopg.connect(dbname="postgres", autocommit=True, **where) as server:
        yield server.cursor()


def _drop(name: str, space: str) -> None:
    with _beside(name) as cursor:
        cursor.execute(f"DROP DATABASE {name} WITH (FORCE)")
        cursor.execute(f"DROP TABLESPACE {space}")
        cursor.execute(f"CREATE DATABASE {name}")
