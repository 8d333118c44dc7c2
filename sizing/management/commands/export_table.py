"""manage.py export_table --family CODE FILE.xlsx"""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from sizing.lookup import NoTableError, in_force, table_of
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused
from sizing.workbook import write_workbook


class Command(DeskCommand):
    help = "Write the table in force as a workbook that import_table reads back the same."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--family", required=True, metavar="CODE", help="code of the family")
        parser.add_argument("file", metavar="FILE.xlsx", help="the workbook to write")
        parser.add_argument(
            "--overwrite", action="store_true", help="in the place of a file that is there"
        )

    def handle(self, *args: Any, family: str, file: str, overwrite: bool, **options: Any) -> None:
        try:
            revision = in_force(family)
        except NoTableError as error:
            raise Refused(str(error)) from None
        if not overwrite and Path(file).exists():
            raise Refused(
                f"{file} is there already: name a new file, or say --overwrite if this one is to take its place."
            )
        try:
            write_workbook(table_of(revision), file)
        except OSError as error:
            raise Refused(
                f"{file} can't be written ({error.strerror}); check its folder."
            ) from None
        self.stdout.write(f"{revision} is written to {file}.")
