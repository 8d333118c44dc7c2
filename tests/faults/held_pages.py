"""Every form of the desk is sent while the database is held or its disk is full: `python -m tests.faults.held_pages`.

On a migrated database. Prints as JSON, by the name of each address that takes a form: the answer's
status, and what of the typed words its page did not give back. `full FOLDER` puts an SQLite database on
a small disk at FOLDER, which is filled, instead of holding it.
"""

import json
import os
import sys
from contextlib import contextmanager
from pathlib import Path

import django

WORDS = "two <b>\nlines"
# Enough of what the desk's forms ask for that many of them come as far as writing.
FORM = {
    "why": WORDS, "note": WORDS, "how": WORDS, "caller": WORDS, "name": "Ida Lorne", "amount": "5.00",
    "to": "ida@lorne.example", "email": "ida@lorne.example", "username": "ida", "count": "1", "go": "1",
    "password": "paper and ink 4711", "code": "123456", "again": "paper and ink 4711",
}  # fmt: skip
# What is asked for by name, where that is not enough.
MORE = {
    "quote-accept": {"name": "Ida Lorne", "ok-1": "1"},
    "order-line": {"act": "noted"},
    "request": {"do": "add"},
    "counter": {"do": "add"},
}
SECRETS = ("paper and ink 4711", "123456")


def main(folder: str = "") -> None:
    os.environ["ALLOWED_HOSTS"] = "testserver"
    django.setup()
    from contextlib import ExitStack

    from django.db import connection
    from django.test import Client

    from tests.access import shop
    from tests.faults.database import be_impatient, database_on
    from tests.faults.trouble import held

    with ExitStack() as stack:
        disk = stack.enter_context(database_on(Path(folder))) if folder else None
        owner, arguments = shop.people()["owner"], shop.arguments()
        be_impatient(0.05)
        client = Client(raise_request_exception=False)
        client.force_login(owner)
        tables = tuple(connection.introspection.table_names())
        connection.close()
        with full(disk) if disk else held(None, tables):
            told = send_all(client, arguments)
        connection.close()
    print(json.dumps(told))


@contextmanager
def full(disk):
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    disk.fill()
    try:
        yield
    finally:
        disk.free()


def send_all(client, arguments) -> dict[str, list]:
    from django.urls import reverse
    from django.utils.html import escape

    from config.access import RULES

    told, signed_in = {}, client.cookies["sessionid"].value
    for name in sorted(name for name, rule in RULES.items() if rule.write):
        client.cookies["sessionid"] = signed_in
        said = client.post(reverse(name, args=arguments.get(name, [])), FORM | MORE.get(name, {}))
        page = said.content.decode(errors="replace")
        lost = [word for word in (escape(WORDS), "Ida Lorne") if word not in page]
        echoed = [word for word in SECRETS if word in page]
        told[name] = [said.status_code, lost, echoed, said.headers.get("Retry-After", "")]
    return told


if __name__ == "__main__":
    main(*sys.argv[1:])
