"""manage.py verify: whether what is stored agrees with itself. One line a finding, exit status 1 if any."""

import sys
from typing import Any

from django.db import connection

from config.backup import is_used
from ordering.verifying import findings
from sizing.management.desk_command import DeskCommand


class Command(DeskCommand):
    help = "Check the log against states, totals against lines, notices against events, parts against tables."

    def handle(self, **options: Any) -> None:
        found = 0
        for finding in findings():
            found += 1
            self.stdout.write(finding)
        if found:
            self.stderr.write(f"{found} findings." if found > 1 else "1 finding.")
            sys.exit(1)
        if not is_used():
            self.stdout.write(
                f"Nothing is in the database {connection.settings_dict['NAME']} yet: is it the desk's DATABASE_URL?"
            )
            return
        self.stdout.write("Everything agrees.")
