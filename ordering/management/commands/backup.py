"""manage.py backup FILE: a copy of the whole database, taken while the desk works."""

import os
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandParser
from django.db import connection

from config.backup import BackupError, backup, is_used
from ordering.events.erasing import list_file
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused


class Command(DeskCommand):
    help = "Copy the whole database into a new file while the desk works."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help="a file that is not there yet")

    # An empty database has nothing to be copied.
    sets_up = False

    def handle(self, *, file: Path, **options: Any) -> None:
        if not is_used():
            raise Refused(
                f"The database {connection.settings_dict['NAME']} holds nothing: give this command the DATABASE_URL that "
                "the desk runs with."
            )
        try:
            size = backup(file)
        except BackupError as problem:
            raise Refused(str(problem)) from None
        self.stdout.write(f"{file}: {size:,} bytes. {_beside()}")


def _beside() -> str:
    """What else a desk on another machine needs, as it lies here."""
    key, erased = settings.VAR_DIR / "secret_key", list_file()
    kept = "SECRET_KEY" if os.environ.get("SECRET_KEY") else key
    said = f"Keep {kept} with it: links in letters and sign-in codes need it."
    if erased.exists():
        said += f" And {erased}: restore knows by it who has been forgotten since."
    return said
