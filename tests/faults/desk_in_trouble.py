"""The desk on a database in trouble: clerks send forms through the whole stack, some of them twice.

`python -m tests.faults.desk_in_trouble TROUBLE`, with DATABASE_URL naming a fresh SQLite file.
TROUBLE is `locked` (another writer holds the database, at times for longer than the desk waits),
`full` (the disk under the database fills up) or `twice` (every form is sent by two threads at once).
Prints as JSON the statuses, what was acknowledged, and what is there at the end.
"""

import json
import os
import random
import sqlite3
import sys
import threading
import time
import uuid
from contextlib import contextmanager
from pathlib import Path

import django

SEED = 20_310_922
PATIENCE = 0.3


def form(name: str) -> dict[str, str]:
    """A counter page as typed, with the page's own number: the same page is the same request."""
    return {
        "page": str(uuid.uuid4()), "version": "0", "caller": name, "openings": "0", "do": "save",
        "o0-family": "otter-liner", "o0-quantity": "1", "o0-m-upper_glass": "20 1/4",
    }  # fmt: skip


def send(client, said: dict[str, str]) -> tuple[int, str]:
    """(status, words of the page); 302 is the acknowledgement."""
    response = client.post("/counter/", said)
    return response.status_code, response.content.decode()


@contextmanager
def writer(database: str, seconds: float):
    """Another program that holds the right to write for so long."""
    held = threading.Event()

    def hold() -> None:
        other = sqlite3.connect(database, timeout=60, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        held.set()
        time.sleep(seconds)
        other.execute("COMMIT")
        other.close()

    thread = threading.Thread(target=hold)
    thread.start()
    held.wait(60)
    yield
    thread.join()


def locked(client, database: str) -> list[dict]:
    draw = random.Random(SEED)
    told = []
    for at in range(30):
        said = form(f"Caller {at}")
        with writer(database, draw.choice((0.1, 0.6))):
            first, words = send(client, said)
        again = send(client, said)[0] if first != 302 else first
        told.append({"name": said["caller"], "first": first, "last": again, "words": words[:2000]})
    return told


def full(client, database: str) -> list[dict]:
    filler = Path(database).with_name("filler")
    told, waiting = [], []
    for at in range(30):
        if at == 10:
            _fill(filler)
        said = form(f"Caller {at}")
        said["note"] = "x" * 1500
        first, words = send(client, said)
        told.append({"name": said["caller"], "first": first, "last": first, "words": words[:2000]})
        if first != 302:
            waiting.append((told[-1], said))
    filler.unlink()
    for told_of, said in waiting:
        told_of["last"] = send(client, said)[0]
    return told


def _fill(filler: Path) -> None:
    with filler.open("wb", buffering=0) as out:
        for size in (65536, 4096, 1):
            try:
                while True:
                    out.write(b"0" * size)
            except OSError:
                pass


def twice(client, database: str) -> list[dict]:
    from django.db import connection
    from django.test import Client

    told = []
    for at in range(30):
        said, ready, statuses = form(f"Caller {at}"), threading.Barrier(2), []

        def press(said=said, ready=ready, statuses=statuses) -> None:
            own = Client(raise_request_exception=False)
            own.cookies = client.cookies
            ready.wait(60)
            statuses.append(send(own, said)[0])
            connection.close()

        threads = [threading.Thread(target=press) for _ in range(2)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        told.append(
            {"name": said["caller"], "first": statuses[0], "last": statuses[1], "words": ""}
        )
    return told


def main(trouble: str) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    os.environ["ALLOWED_HOSTS"] = "testserver"
    django.setup()
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connection
    from django.test import Client

    from quotes.models import Opening, Request
    from tests.ordering.placed import load_shop, user

    if trouble == "locked":
        settings.DATABASES["default"]["OPTIONS"]["timeout"] = PATIENCE
        connection.settings_dict["OPTIONS"]["timeout"] = PATIENCE
    call_command("migrate", verbosity=0)
    load_shop()
    client = Client(raise_request_exception=False)
    client.force_login(user())
    database = str(connection.settings_dict["NAME"])
    told = {"locked": locked, "full": full, "twice": twice}[trouble](client, database)
    stored = list(Request.objects.order_by("pk").values_list("caller", flat=True))
    with sqlite3.connect(database) as opened:
        sound = opened.execute("PRAGMA integrity_check").fetchone()[0]
    halved = (
        Request.objects.filter(openings=None).count() + Opening.objects.filter(answer={}).count()
    )
    print(json.dumps({"told": told, "stored": stored, "halved": halved, "sound": sound}))


if __name__ == "__main__":
    main(sys.argv[1])
