"""manage.py restore FILE: a copy made by `backup`, put in the place of the database."""

import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandParser
from django.db import connection
from django.utils import timezone

from config.backup import BackupError, is_used, restore
from ordering.events import erasing
from quotes.models import Erasure
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused


class Command(DeskCommand):
    help = "Put a copy made by backup in the place of the database. Stop the web and work processes first."

    # Tables made first would be thrown away for those of the copy: it took four fifths of a restore's time.
    sets_up = False

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help="what backup has written")
        parser.add_argument(
            "--overwrite", action="store_true", help="even if the present database is in use"
        )

    def handle(self, *, file: Path, overwrite: bool, **options: Any) -> None:
        erased = _erased_by_now()
        kept = None
        if overwrite and is_used():
            kept = settings.VAR_DIR / f"before-restore-{timezone.now():%Y%m%d-%H%M%S-%f}"
        try:
            restore(file, overwrite, kept)
        except BackupError as problem:
            raise Refused(str(problem)) from None
        if kept:
            self.stdout.write(f"What was there before is kept in {kept}.")
        call_command("migrate", verbosity=0, interactive=False)
        self.stdout.write(f"{file} is restored.")
        again = erasing.erase_again(erased)
        if again:
            self.stdout.write(f"{again} customers erased after it was made were erased again.")
        sys.stdout.flush()
        call_command("verify", stdout=self.stdout, stderr=self.stderr)


def _erased_by_now() -> dict[int, dict]:
    """Erasures that the list or the present database knows of, if that has the table yet."""
    if Erasure._meta.db_table not in connection.introspection.table_names():
        return erasing.listed()
    return erasing.known_erasures()
