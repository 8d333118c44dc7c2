"""What every command of the desk has in common: a database that is there, and one line when it refuses."""

import sys
from typing import Any, NoReturn

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser
from django.db import DEFAULT_DB_ALIAS, OperationalError, connections

from sizing.management.refused import Refused


class DeskCommand(BaseCommand):
    """Sets up a database that holds nothing yet; says a refusal in one line and leaves with status 2."""

    # Django's checks load every page of the desk, which takes longer than most commands; `manage.py check` has them.
    requires_system_checks = ()
    # Whether a database that holds nothing is set up before the command does its work.
    sets_up = True

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        # A wrong argument is told in one line too; --help still shows them all.
        parser.print_usage = lambda file=None: None  # type: ignore[method-assign]
        return parser

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            self._open_database()
            return super().execute(*args, **options)
        except Refused as refusal:
            # Django would set the class's name before the sentence; called from code it stays an error.
            if not self._called_from_command_line:
                raise
            self._end(refusal)
        except OperationalError as error:
            # Held by another writer, full, or gone in the middle: no fault of the command's.
            if not self._called_from_command_line:
                raise
            self._end(
                Refused(
                    f"The database gave up before this was done ({error}): look whether its disk is full or another "
                    "program holds it, then run the command again."
                )
            )
        return None

    def _end(self, refusal: Refused) -> NoReturn:
        self.stderr.write(str(refusal))
        sys.exit(refusal.returncode)

    def _open_database(self) -> None:
        try:
            connections[DEFAULT_DB_ALIAS].ensure_connection()
        except OperationalError as error:
            raise Refused(
                f"The database can't be opened ({error}): check DATABASE_URL and who may write there."
            ) from None
        if self.sets_up and not connections[DEFAULT_DB_ALIAS].introspection.table_names():
            call_command("migrate", verbosity=0, interactive=False)
