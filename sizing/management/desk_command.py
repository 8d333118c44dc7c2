"""What every command of the desk has in common: a database that is there, and one line when it refuses."""

import sys
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import DEFAULT_DB_ALIAS, connections

from sizing.management.refused import Refused


class DeskCommand(BaseCommand):
    """Sets up a database that holds nothing yet; says a refusal in one line and leaves with status 2."""

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            if not connections[DEFAULT_DB_ALIAS].introspection.table_names():
                call_command("migrate", verbosity=0, interactive=False)
            return super().execute(*args, **options)
        except Refused as refusal:
            # Django would set the class's name before the sentence; called from code it stays an error.
            if not self._called_from_command_line:
                raise
            self.stderr.write(str(refusal))
            sys.exit(refusal.returncode)
