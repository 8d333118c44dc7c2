"""Work out every lead-time window anew: nightly, and after an import."""

from ordering.publish import publish_windows
from sizing.management.desk_command import DeskCommand


class Command(DeskCommand):
    help = "Work out the lead-time window of every family and part, for the counter and the quotes."

    def handle(self, **options):
        self.stdout.write(f"Windows published: {publish_windows()}.")
