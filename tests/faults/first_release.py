"""Loads the copy of the first release's demo shop into a fresh database at that schema, then upgrades it.

`python -m tests.faults.first_release`, with DATABASE_URL and the SECRET_KEY it was made with. The copy
(first_release.json.gz) was taken from `manage.py demo` of the commit that made each app's 0001_initial:
{model: {"fields": [...], "rows": [[...], ...]}}. Prints as JSON what `verify` found and what pages say.
"""

import gzip
import json
import os
import re
from datetime import UTC, datetime
from pathlib import Path

import django

COPY = Path(__file__).with_name("first_release.json.gz")
KEY = "a key that only the copy of the first release was made with"
OURS = ("sizing", "quotes", "ordering")


def load(apps) -> int:
    """Write every row as it was; how many there were. `apps` are the models of that schema."""
    from django.core.management.color import no_style
    from django.db import connection, transaction

    copy = json.loads(gzip.decompress(COPY.read_bytes()))
    models, count = [], 0
    # The order of rows does not matter inside one transaction: foreign keys are looked at in its end.
    with transaction.atomic():
        for label, held in copy.items():
            model = apps.get_model(label)
            models.append(model)
            model._base_manager.all().delete()
            fields = [model._meta.get_field(name) for name in held["fields"]]
            for row in held["rows"]:
                said = {f.attname: f.to_python(v) for f, v in zip(fields, row, strict=True)}
                model(**said).save_base(raw=True, force_insert=True)
                count += 1
        with connection.cursor() as cursor:
            for sql in connection.ops.sequence_reset_sql(no_style(), models):
                cursor.execute(sql)
    return count


def upgraded() -> int:
    """The copy at its own schema, brought to the present one; how many rows there were."""
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    first = [(app, "0001_initial") for app in OURS]
    executor.migrate(first)
    others = [key for key in executor.loader.graph.leaf_nodes() if key[0] not in OURS]
    before = MigrationExecutor(connection)
    # Libraries' own tables; what of theirs needs a later schema of ours comes with it.
    needed = [
        key
        for key in others
        if not {
            app for app, name in before.loader.graph.forwards_plan(key) if name != "0001_initial"
        }
        & set(OURS)
    ]
    before.migrate(needed)
    count = load(before.loader.project_state([*first, *needed]).apps)
    call_command("migrate", verbosity=0)
    return count


def pages() -> dict[str, list[str]]:
    """The amounts that stand on a quote's and an order's page, at the desk and behind their links."""
    import time_machine
    from django.contrib.auth.models import User
    from django.test import Client

    from ordering.links import page_of
    from ordering.models import Order
    from quotes.links import address_of, factory_address
    from quotes.models import Enquiry, Issue

    with time_machine.travel(datetime(2026, 11, 26, 15, tzinfo=UTC), tick=True):
        desk, public = Client(), Client()
        desk.force_login(User.objects.get(username="manager"))
        issue = Issue.objects.get(quote=6, number=1)
        order = Order.objects.get(acceptance__issue=issue)
        asked = {
            "quote": (desk, f"/quotes/{issue.quote_id}/"),
            "order": (desk, f"/orders/{order.pk}/"),
            "quote by its link": (public, address_of(issue)),
            "order by its link": (public, page_of(order)),
            "enquiry by its link": (public, factory_address(Enquiry.objects.get(unit_cost=131.4))),
        }
        return {
            name: [str(page.status_code), *re.findall(r"\d+\.\d\d\b", page.content.decode())]
            for name, (client, path) in asked.items()
            for page in [client.get("/" + path.split("/", 3)[3] if "://" in path else path)]
        }


def main() -> None:
    os.environ["ALLOWED_HOSTS"] = "testserver"
    django.setup()
    from ordering.models import Order
    from ordering.verifying import findings
    from quotes.desk.requests import labels_of, note_scraps
    from quotes.models import Customer, Issue, Request, Shop

    told = {"rows": upgraded(), "findings": list(findings()), "pages": pages()}
    told["reminds"] = [shop.remind_customers for shop in Shop.objects.all()]
    issued = Issue.objects.filter(issued_at__isnull=False).order_by("pk")
    told["quotes"] = [issue.document["sums"]["total"] for issue in issued]
    told["scraps"] = list(Customer.objects.exclude(scraps="").values_list("scraps", flat=True))
    told["calls"] = []
    for call in Request.objects.all():
        kept = call.scraps
        note_scraps(call, labels_of(call))
        told["calls"].append([kept, call.scraps])
    told["orders"] = [str(order.total) for order in Order.objects.order_by("pk")]
    print(json.dumps(told))


if __name__ == "__main__":
    main()
