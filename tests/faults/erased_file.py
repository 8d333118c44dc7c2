"""What SQLite's own files hold of somebody erased: `python -m tests.faults.erased_file`, on an empty migrated file.

Another process has the database open, as the web server has, so the log beside it stays. Prints as JSON how often
words of theirs stand in the files before the erasure, and after the night's work that follows it.
"""

import json
import os
import sqlite3
from pathlib import Path

import django


def main() -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    django.setup()
    from django.db import connection

    from ordering.events.erasing import erase_customer, forget_old
    from tests.ordering.erasable import OWN, customer

    file = Path(connection.settings_dict["NAME"])
    other = sqlite3.connect(file)
    other.execute("SELECT count(*) FROM quotes_customer").fetchone()

    def held() -> dict[str, int]:
        return {
            path.name: sum(path.read_bytes().lower().count(word.encode()) for word in OWN)
            for path in (file, file.with_name(f"{file.name}-wal"))
        }

    person = customer()
    before = held()
    erase_customer(person.pk, "max")
    forget_old()
    print(json.dumps({"before": before, "after": held()}))
    other.close()


if __name__ == "__main__":
    main()
