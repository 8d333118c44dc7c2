"""Clerks who place orders without a pause, each a process of its own, while copies are made.

`python -m tests.faults.writers FOLDER SECONDS CLERKS COPIES`: migrates the database in DATABASE_URL,
fills a small shop, lets the clerks loose and makes copies meanwhile. Prints as JSON the orders
acknowledged, [order, time its clerk began, time after its transaction], and the copies, [began, ended].
"""

import io
import json
import multiprocessing
import os
import sys
import time
from pathlib import Path

import django


def clerk(number: int, told, until: float) -> None:
    django.setup()
    from django.db import transaction

    from ordering.events import place_from_quote, send_to_factories
    from tests.ordering.placed import CLERK, accepted_quote

    at = 0
    while time.time() < until:
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
    told.put(None)


def main(folder: Path, seconds: float, clerks: int, copies: int) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    django.setup()
    from django.core.management import call_command
    from django.db import connection

    from tests.ordering.placed import load_shop

    call_command("migrate", verbosity=0)
    load_shop()
    connection.close()
    spawn = multiprocessing.get_context("spawn")
    told = spawn.Queue()
    until = time.time() + seconds
    people = [spawn.Process(target=clerk, args=(n, told, until)) for n in range(clerks)]
    for person in people:
        person.start()
    # They are at work once the first order is acknowledged.
    orders, made, gone = [told.get(timeout=60)], [], 0
    for at in range(copies):
        began = time.time()
        call_command("backup", str(folder / f"copy-{at}"), stdout=io.StringIO())
        made.append((began, time.time()))
        time.sleep(seconds / copies / 3)
    while gone < clerks:
        order = told.get(timeout=60)
        if order is None:
            gone += 1
        else:
            orders.append(order)
    for person in people:
        person.join(30)
    print(json.dumps({"orders": orders, "copies": made}))
    sys.exit(max(person.exitcode for person in people))


if __name__ == "__main__":
    main(Path(sys.argv[1]), float(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))
