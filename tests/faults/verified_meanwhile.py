"""Somebody goes on working while the desk is verified: `python -m tests.faults.verified_meanwhile`.

Fills the migrated database in DATABASE_URL with an order, and has a deposit noted as `verify` has read
the orders and is about to read their events. Prints as JSON what was found, and how many deposits were noted.
"""

import json
import os
import threading
from decimal import Decimal

import django

MOST = 1
# How the events of orders are asked for that have been read already.
EVENTS = 'WHERE "ordering_event"."order_id" IN'


def main() -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    django.setup()
    from django.db import connection

    from ordering import events
    from ordering.models import Order
    from ordering.verifying import findings
    from tests.ordering.placed import CLERK, load_shop, placed_order

    load_shop()
    order = placed_order()
    here = threading.get_ident()
    noted = []

    def pay() -> None:
        events.take_deposit(order.pk, Decimal(1), "cash", CLERK)
        noted.append(1)
        connection.close()

    def meanwhile(execute, sql, params, many, context):
        if EVENTS in sql and threading.get_ident() == here and len(noted) < MOST:
            somebody = threading.Thread(target=pay)
            somebody.start()
            somebody.join(30)
        return execute(sql, params, many, context)

    with connection.execute_wrapper(meanwhile):
        found = list(findings())
    paid = Order.objects.get(pk=order.pk).deposit_paid
    print(json.dumps({"found": found, "noted": len(noted), "paid": str(paid)}))


if __name__ == "__main__":
    main()
