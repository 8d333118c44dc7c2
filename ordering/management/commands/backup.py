"""manage.py backup FILE: a copy of the whole database, taken while the desk works."""

from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser

from config.backup import BackupError, backup
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused


class Command(DeskCommand):
    help = "Copy the whole database into a new file while the desk works."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help="a file that is not there yet")

    def handle(self, *, file: Path, **options: Any) -> None:
        try:
            size = backup(file)
        except BackupError as problem:
            raise Refused(str(problem)) from None
        self.stdout.write(
            f"{file}: {size:,} bytes. Keep var/secret_key with it: links in letters need it."
        )
