"""Every list and search beside a bare view, over different requests, in one process through the real handler.

Run: DATABASE_URL=... python -m tests.bench.pages [requests of each] ; one line of JSON a page.
"""

from __future__ import annotations

import json
import logging
import os
import random
import sys
from collections.abc import Iterator
from time import perf_counter, process_time
from urllib.parse import urlencode, urlsplit

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
django.setup()

import numpy as np  # noqa: E402
from django.conf import settings  # noqa: E402
from django.contrib.auth.models import Group, User  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402

from ordering.links import page_of  # noqa: E402
from ordering.models import Order  # noqa: E402
from quotes.models import Customer, Quote, Request  # noqa: E402
from sizing.models import Family, Part  # noqa: E402
from tests.quotes.counter_page import page  # noqa: E402

# On SQLite all work is this process's own, so its processor time is not blurred by a busy machine.
CLOCK = process_time if connection.vendor == "sqlite" else perf_counter


def signed_in(role: str) -> Client:
    user, _ = User.objects.get_or_create(username=f"bench-{role}")
    user.groups.set([Group.objects.get_or_create(name=role)[0]])
    client = Client(HTTP_HOST="127.0.0.1")
    client.force_login(user, "django.contrib.auth.backends.ModelBackend")
    return client


def some(model, draw: random.Random, count: int) -> list:
    """Rows spread over the whole table, by key."""
    last = model.objects.order_by("-pk").values_list("pk", flat=True).first()
    found = (
        model.objects.filter(pk__gte=draw.randrange(1, last)).order_by("pk").first()
        for _ in range(count)
    )
    return [row for row in found if row]


def scraps(draw: random.Random, count: int) -> list[str]:
    """What a clerk types: numbers, surnames whole and begun, names, phones, mails, towns, parts."""
    people = some(Customer, draw, count)
    orders = some(Order, draw, count)
    parts = list(Part.objects.exclude(part_number="").values_list("part_number", flat=True)[:2000])
    found = []
    for n in range(count):
        name = people[n % len(people)].name
        contact = people[n % len(people)].contacts.first()
        phone, mail = (contact.phone, contact.email) if contact else ("802 555", "example")
        order = orders[n % len(orders)]
        found.append(
            (order.number, name, name.split()[-1], name.split()[-1][:4], phone, mail or "ada", order.town or name,
             draw.choice(parts), str(order.pk), draw.choice(parts)[:3])[n % 10]
        )  # fmt: skip
    return found


def pages(count: int) -> Iterator[tuple[str, str, list]]:
    """(what it is, role, addresses; what the page itself asks while somebody types as (address, form or none))."""
    draw = random.Random(7)
    words = scraps(draw, count)
    pk = [order.pk for order in some(Order, draw, count)]
    for role in ("counter", "manager", "staff", "owner"):
        yield f"first page, {role}", role, ["/"]
    for name in ("orders", "requests", "quotes", "customers"):
        yield name, "counter", [f"/{name}/?page={1 + n % 10}" for n in range(count)]
        yield f"{name}, found", "counter", [f"/{name}/?q={w}" for w in words]
    yield from narrowed(words, draw, count)
    yield "orders, all", "counter", [f"/orders/?stands=all&page={1 + n % 10}" for n in range(count)]
    yield "when", "staff", [f"/when/?q={w}" for w in words]
    # Its answer comes while somebody types: after the first letter, the second, up to the last.
    begun = [word[: 1 + n % len(word)] for n, word in enumerate(words)]
    yield "when, as it is typed", "staff", [(f"/when/?q={w}", None) for w in begun]
    yield "the counter, a new call", "counter", ["/counter/"]
    for name in ("specials", "schedules", "factory-orders", "watch", "record", "orders/send"):
        role = "staff" if name in ("watch", "record") else "counter"
        yield name, role, [f"/{name}/"]
    yield "an order", "staff", [f"/orders/{key}/" for key in pk]
    yield "a quote", "counter", [f"/quotes/{q.pk}/" for q in some(Quote, draw, count)]
    yield "a request", "counter", [f"/requests/{r.pk}/" for r in some(Request, draw, count)]
    yield "a customer", "counter", [f"/customers/{c.pk}/" for c in some(Customer, draw, count)]
    mine = Order.objects.order_by("-pk")[:5]  # The product's own: a copy's link opens nothing.
    yield "live answer", "counter", [_typed(draw) for _ in range(count)]
    yield "an order's public page", "staff", [urlsplit(page_of(o)).path for o in mine]


def narrowed(words: list[str], draw: random.Random, count: int) -> Iterator[tuple[str, str, list]]:
    """Lists by one thing that their boxes can say, and by a word and how it stands."""
    families = list(Family.objects.values_list("code", flat=True))
    stands = {"orders": ["open", "closed"], "quotes": ["open", "lapsed", "accepted", "draft"],
              "requests": ["ask", "special", "quoted", "unquoted"]}  # fmt: skip
    for name, words_for_it in stands.items():
        of = [f"/{name}/?family={draw.choice(families)}" for _ in range(count)]
        yield f"{name}, of a family", "counter", of
        how = [f"/{name}/?stands={words_for_it[n % len(words_for_it)]}" for n in range(count)]
        yield f"{name}, standing so", "counter", how
        both = [f"{address}&q={word}" for address, word in zip(how, words, strict=True)]
        yield f"{name}, found and standing so", "counter", both


def _typed(draw: random.Random) -> tuple[str, str]:
    """(address, form) of what the counter page sends while a clerk types an opening's measures."""
    said = {"family": "otter-liner", "m-upper_glass": f"{draw.randrange(14, 40)} {draw.randrange(1, 8)}/8",
            "m-opening": f"{draw.randrange(36, 80)} 7/8", "m-sash_weight": "10"}  # fmt: skip
    return "/counter/answer/?o=0", urlencode(page(said), doseq=True)


def measure(address: str | tuple[str, str | None], client: Client) -> float:
    start = CLOCK()
    if isinstance(address, tuple):
        address, form = address
        typed = {"HX-Request": "true"}
        if form is None:
            response = client.get(address, headers=typed)
        else:
            kind = "application/x-www-form-urlencoded"
            response = client.post(address, form, kind, headers=typed)
    else:
        response = client.get(address)
    b"".join(response) if response.streaming else response.content
    took = CLOCK() - start
    assert response.status_code == 200, (address, response.status_code)
    return 1e3 * took


def _counting(asked: list[str]):
    def wrapper(execute, sql, params, many, context):
        asked.append(sql)
        return execute(sql, params, many, context)

    return wrapper


def main(count: int, only: str = "") -> None:
    logging.disable(logging.WARNING)
    settings.ROOT_URLCONF = "tests.bench.bare"
    clients = {role: signed_in(role) for role in ("counter", "manager", "staff", "owner")}
    keys = [order.pk for order in some(Order, random.Random(3), 50)]
    for what, role, addresses in pages(count):
        if only not in what:
            continue
        client = clients[role]
        asked: list[str] = []
        with connection.execute_wrapper(_counting(asked)):
            measure(addresses[0], client)
        here, floor = [], []
        rounds = addresses if len(addresses) >= count else addresses * (count // len(addresses) + 1)
        began = perf_counter()
        for n, address in enumerate(rounds[:count]):
            floor.append(measure(f"/bare/{keys[n % len(keys)]}/", client))
            here.append(measure(address, client))
            # A page that is too slow is known to be so after a few.
            if perf_counter() - began > 20:
                break
        p95, bare = float(np.percentile(here, 95)), float(np.percentile(floor, 95))
        worst = rounds[int(np.argmax(here))]
        print(json.dumps({
            "page": what, "p50": round(float(np.median(here)), 1), "p95": round(p95, 1),
            "floor p95": round(bare, 1), "ratio": round(p95 / bare, 1),
            "ratio p50": round(float(np.median(here) / np.median(floor)), 1),
            "queries": len(asked), "of": len(here), "worst": worst,
        }), flush=True)  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100, *sys.argv[2:3])
