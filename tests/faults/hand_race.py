"""The same page of an order by hand sent by two threads at once, many times: `python -m tests.faults.hand_race ROUNDS`.

DATABASE_URL names a migrated database. Prints what the two were given, one JSON list of pairs.
"""

import json
import os
import sys
import uuid

import django


def main(rounds: int) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    from ordering.events import HandLine, place_by_hand
    from quotes.models import Customer
    from tests.faults.run import at_once
    from tests.ordering.placed import CLERK, load_shop

    load_shop()
    customer = Customer.objects.create(name="Henrik Aalto").pk

    def place(page: uuid.UUID):
        try:
            return place_by_hand(customer, [HandLine("", "Box of screws", 1)], CLERK, page=page).pk
        except Exception as problem:
            return repr(problem)

    pages = [uuid.uuid4() for _ in range(rounds)]
    print(json.dumps([at_once([lambda page=page: place(page)] * 2) for page in pages]))


main(int(sys.argv[1]))
