"""Clerks who place orders without a pause, each a process of its own, while copies are made.

`python -m tests.faults.writers FOLDER CLERKS COPIES ORDERS`: fills a small shop in the migrated database in
DATABASE_URL, lets the clerks loose and makes copies meanwhile, so many orders apart. Prints as JSON the
orders acknowledged, [order, time its clerk began, time after its transaction], and the copies, [began,
ended].
"""

import io
import json
import multiprocessing
import os
import sys
import time
from pathlib import Path

import django


def clerk(number: int, told, enough) -> None:
    from django.db import transaction

    from ordering.events import place_from_quote, send_to_factories
    from tests.ordering.placed import CLERK, accepted_quote

    at = 0
    while not enough.is_set():
        at += 1
        began = time.time()
        with transaction.atomic():
            quote = accepted_quote(
                caller=f"Mara Quill {number}.{at}", email=f"m{number}.{at}@x.example"
            )
            order = place_from_quote(quote.pk, CLERK)
            if at % 2:
                send_to_factories([line.pk for line in order.lines.all()], CLERK)
        told.put((order.pk, began, time.time()))


def main(folder: Path, clerks: int, copies: int, apart: int) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    django.setup()
    from django.core.management import call_command
    from django.db import connection

    from tests.ordering.placed import load_shop

    load_shop()
    # A database connection must never be carried into another process.
    connection.close()
    fork = multiprocessing.get_context("fork")
    told, enough = fork.SimpleQueue(), fork.Event()
    people = [fork.Process(target=clerk, args=(n, told, enough)) for n in range(clerks)]
    for person in people:
        person.start()
    orders, made = [], []
    for at in range(copies):
        # They are at work before each copy, and go on after the last.
        orders += next_of(told, people, apart)
        began = time.time()
        call_command("backup", str(folder / f"copy-{at}"), stdout=io.StringIO())
        made.append((began, time.time()))
    orders += next_of(told, people, apart)
    enough.set()
    while any(person.is_alive() for person in people) or not told.empty():
        orders += next_of(told, people, 1)
    print(json.dumps({"orders": orders, "copies": made}))
    sys.exit(max(person.exitcode for person in people))


def next_of(told, people, count: int) -> list:
    """So many orders more, or what there is once all have ended."""
    found = []
    while len(found) < count and (not told.empty() or any(one.is_alive() for one in people)):
        if told.empty():
            time.sleep(0.01)
        else:
            found.append(told.get())
    return found


if __name__ == "__main__":
    main(Path(sys.argv[1]), *map(int, sys.argv[2:5]))
