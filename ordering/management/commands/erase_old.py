"""manage.py erase_old: what the shop keeps no longer, erased now; `work` does it once a day by itself."""

from typing import Any

from ordering.events.erasing import forget_old
from sizing.management.desk_command import DeskCommand


class Command(DeskCommand):
    help = "Erase requests never quoted, schedules and the words of mails older than the shop keeps them."

    def handle(self, **options: Any) -> None:
        counts = forget_old()
        listed = ", ".join(f"{what} {count}" for what, count in counts.items())
        self.stdout.write(f"Erased: {listed}.")
