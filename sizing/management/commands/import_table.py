"""manage.py import_table FILE.xlsx [--publish] [--from YYYY-MM-DD]"""

from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.utils import timezone

from sizing.difference import difference, summary
from sizing.lookup import NoTableError, in_force, table_of
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused
from sizing.table import SizeTable
from sizing.tables import TableError, digest_of, import_workbook
from sizing.workbook import WorkbookError, read_workbook


class Command(DeskCommand):
    help = "Read a size table from a workbook, check it whole and keep it as a draft."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", metavar="FILE.xlsx", help="sheets Family and Parts; see fixtures/"
        )
        parser.add_argument(
            "--publish", action="store_true", help="put it in force, at once or from a day"
        )
        parser.add_argument(
            "--from",
            dest="day",
            metavar="YYYY-MM-DD",
            help="with --publish: in force from this day",
        )

    def handle(self, *args: Any, file: str, publish: bool, day: str | None, **options: Any) -> None:
        on = _day(day, publish)
        try:
            table, warnings = read_workbook(file)
        except WorkbookError as error:
            raise Refused(f"{file}: {error.first_and_count}") from None
        self.stdout.write(_read(table))
        for warning in warnings:
            self.stdout.write(f"Note: {warning}")
        try:
            present = in_force(table.code, on)
        except NoTableError:
            present = None
        for line in summary(difference(table_of(present) if present else None, table)):
            self.stdout.write(line)
        if present and present.digest == digest_of(table):
            self.stdout.write(
                f"{present} says the same, in force from {present.in_force_from}; nothing is stored."
            )
            return
        try:
            revision = import_workbook(
                table, Path(file).name, warnings, on if publish else None, "command line"
            )
        except TableError as error:
            raise Refused(f"{file}: {error}") from None
        self.stdout.write(
            f"{revision} is in force from {on}."
            if publish
            else f"{revision} is kept as a draft; look at it on the Size tables page, or import it with --publish."
        )


def _day(text: str | None, publish: bool) -> date:
    if text is None:
        return timezone.localdate()
    if not publish:
        raise Refused("--from goes with --publish only; add --publish or leave --from out.")
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refused(f"--from {text} is no date; type it as YYYY-MM-DD.") from None


def _read(table: SizeTable) -> str:
    offered = sum(part.part_number is not None for part in table.parts)
    return (
        f"{table.code}: {table.name} of {table.factory}; {len(table.rows)} rows, "
        f"{offered} parts, {len(table.parts) - offered} not offered."
    )
