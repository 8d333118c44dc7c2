"""Take in a shop's past orders, from which lead times are learned."""

from pathlib import Path

from ordering.history import HistoryError, read_history
from ordering.past import store, unknown_parts
from ordering.publish import publish_windows
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused
from sizing.models import Family

MOST_NAMED = 12


class Command(DeskCommand):
    help = "Take in past orders from a CSV file; a reference that is there already is brought up to date."

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE.csv")
        parser.add_argument(
            "--no-publish", action="store_true", help="leave the published windows as they are"
        )

    def handle(self, *, file, no_publish, **options):
        families = dict(Family.objects.values_list("code", "id"))
        try:
            with Path(file).open(encoding="utf-8-sig", newline="") as lines:
                stored = store(read_history(lines, file, families))
        except HistoryError as error:
            for problem in error.problems[1:]:
                self.stdout.write(problem)
            if error.unnamed:
                self.stdout.write(f"And {error.unnamed} more, in lines after these.")
            raise Refused(f"{error} Nothing was stored.") from None
        except OSError as problem:
            raise Refused(f"{file} cannot be read ({problem.strerror}): check the name.") from None
        self.stdout.write(f"Orders read: {stored.lines}; new: {stored.new}.")
        if stored.own:
            self.stdout.write(
                f"Note: lines of this desk's own orders: {stored.own}; what the desk knows of them stands."
            )
        if stored.early_promises:
            self.stdout.write(
                f"Note: promised for a day before they were placed: {stored.early_promises}; "
                "they are kept, but not taken for promises."
            )
        lines, parts = unknown_parts()
        if lines:
            self.stdout.write(
                f"Note: orders whose part number stands in no size table: {lines}; they are kept. "
                f"The part numbers: {', '.join(parts[:MOST_NAMED])}"
                f"{f' and {len(parts) - MOST_NAMED} more' if len(parts) > MOST_NAMED else ''}."
            )
        if not no_publish:
            self.stdout.write(f"Windows published: {publish_windows()}.")
