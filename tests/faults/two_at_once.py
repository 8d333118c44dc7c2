"""What two do at the same instant, many times: `python -m tests.faults.two_at_once ROUNDS`.

DATABASE_URL names a migrated database. Prints as JSON what each pair was given: "orders", the same page
of an order by hand sent twice; "mornings", two workers at the first round of a day.
"""

import json
import os
import sys
import uuid
from collections.abc import Callable

import django

MORNINGS = 5


def main(rounds: int) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    from sizing.models import PublishedWindow
    from tests.faults.run import at_once
    from tests.ordering.placed import load_shop

    load_shop()
    told = {"orders": [], "mornings": []}
    place = ordering_by_hand()
    for _ in range(rounds):
        page = uuid.uuid4()
        told["orders"].append(at_once([lambda page=page: said(place, page)] * 2))
    for _ in range(MORNINGS):
        PublishedWindow.objects.all().delete()
        told["mornings"].append(at_once([lambda: said(morning)] * 2))
    print(json.dumps(told))


def said(act: Callable, *about):
    """What came of it, or what it failed with."""
    try:
        return act(*about)
    except Exception as problem:
        return repr(problem)


def ordering_by_hand() -> Callable[[uuid.UUID], int]:
    from ordering.events import HandLine, place_by_hand
    from quotes.models import Customer
    from tests.ordering.placed import CLERK

    customer = Customer.objects.create(name="Henrik Aalto").pk
    return lambda page: (
        place_by_hand(customer, [HandLine("", "Box of screws", 1)], CLERK, page=page).pk
    )


def morning() -> int:
    """The first round of a worker; how many windows are published after it."""
    from ordering.management.commands.work import Command
    from sizing.models import PublishedWindow

    Command()._round(once=True)
    return PublishedWindow.objects.count()


main(int(sys.argv[1]))
