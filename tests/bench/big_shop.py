"""Fills a database with a shop of any size. Run: DATABASE_URL=... python -m tests.bench.big_shop 1000000

The product writes a block of forty orders with their calls, quotes, events and mails, at eight days of two
years; SQL copies each block as often as asked for, with keys moved on and people, towns, phones and links
of its own. So `manage.py verify` finds a copy as sound as what was copied. Then come orders that are still at
their factories, one for `PER_OPEN` that are over: some late, some about to be. The demo's open work is last.
The database must be empty. Words of sent mails are gone, as `erase_old` leaves them.
"""

# ruff: noqa: S608 (every name in its statements is a model's own)
from __future__ import annotations

import os
import random
import re
import sys
from datetime import UTC, date, datetime, timedelta
from io import StringIO
from time import perf_counter

import django

ROUNDS = 8
# A shop that has had a million orders in ten years has had 400 a working day, five weeks of which are open:
# 10,000, one in a hundred.
PER_OPEN = 100
# Days ago that open blocks were ordered; their factories' date is 25 working days after.
OPEN_SINCE = (45, 32, 20, 6)
# What the product works out of the rest, for the whole shop at once.
DERIVED = ("PastVersion", "LeadTimeFit", "JudgedMonth", "RemadeMonth")
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def main(orders: int) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    from django.core.management import call_command

    start = perf_counter()
    call_command("migrate", verbosity=0)
    fill(orders)
    call_command("demo", stdout=StringIO())
    settle()
    print(f"{orders} orders in {perf_counter() - start:.0f} s")


def fill(orders: int) -> None:
    from django.db import connection

    from quotes.desk.shop import keep_shop
    from tests.bench import shop_block

    # The demo's own, as it fills no other.
    keep_shop({"name": "Tarnbrook Sash Parts", "country": "US", "region": "VT"})
    shop_block.families()
    copies = max(1, orders // (ROUNDS * shop_block.ORDERS))
    today = date.today()
    indexes = _drop_indexes() if copies > 50 else []
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA synchronous=OFF")
            cursor.execute("PRAGMA foreign_keys=OFF")
            cursor.execute("PRAGMA cache_size=-1000000")
    for n in range(ROUNDS):
        _blocks(today - timedelta(days=730 - 90 * n), copies, n)
        print(f"block {n + 1} of {ROUNDS}", flush=True)
    open_work(orders // PER_OPEN)
    with connection.cursor() as cursor:
        for sql in indexes:
            cursor.execute(sql)


def open_work(orders: int) -> None:
    """As many orders that their factories have and have not sent, in whole blocks."""
    from tests.bench import shop_block

    copies = max(1, orders // (len(OPEN_SINCE) * shop_block.ORDERS))
    for n, ago in enumerate(OPEN_SINCE):
        _blocks(date.today() - timedelta(days=ago), copies, 100 + n, over=False)


def _blocks(day: date, copies: int, seed: int, *, over: bool = True) -> None:
    """So many blocks of that day, the first by the product."""
    import time_machine
    from django.db import transaction

    from tests.bench import shop_block

    # A working day, so that nothing of it waits for Monday.
    day -= timedelta(days=max(0, day.weekday() - 4))
    before = _last_keys()
    with time_machine.travel(datetime(day.year, day.month, day.day, 12, tzinfo=UTC)):
        shop_block.write_block(day, over=over)
    with transaction.atomic():
        _copy(before, copies - 1, random.Random(seed))


def _models() -> list:
    from django.apps import apps

    return [
        m for app in ("quotes", "ordering") for m in apps.get_app_config(app).get_models()
        if m.__name__ not in DERIVED and not m._meta.proxy and m._meta.pk.get_internal_type() == "BigAutoField"
    ]  # fmt: skip


def _last_keys() -> dict:
    from django.db.models import Max

    return {m: m._base_manager.aggregate(k=Max("pk"))["k"] or 0 for m in _models()}


def _copy(before: dict, copies: int, draw: random.Random) -> None:
    """Copy what was written since `before`, so many times."""
    from django.db import connection

    from ordering.models import OrderWord, PastOrder

    after = _last_keys()
    steps = {m: after[m] - before[m] for m in after if after[m] > before[m]}
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET LOCAL session_replication_role = replica")
        cursor.execute("DROP TABLE IF EXISTS bench_copy")
        cursor.execute(
            "CREATE TABLE bench_copy (k bigint primary key, surname text, town text, phone text)"
        )
        rows = [(k, _word(draw, 3), _word(draw, 2) + "ton", f"{draw.randrange(201, 989)}")
                for k in range(1, copies + 1)]  # fmt: skip
        sql = "INSERT INTO bench_copy VALUES (%s, %s, %s, %s)"
        cursor.executemany(sql, rows)
        for model, step in steps.items():
            if model in (OrderWord, PastOrder):
                continue
            cursor.execute(_statement(model, before, steps, step))
        _copy_words(cursor, before, steps)
        _copy_past(cursor, before, steps)
        cursor.execute("DROP TABLE bench_copy")
        if connection.vendor == "postgresql":
            for model in steps:
                table = model._meta.db_table
                cursor.execute(
                    f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), (SELECT max(id) FROM {table}))"
                )


def _word(draw: random.Random, syllables: int) -> str:
    made = "".join(draw.choice("bdfglmnprstvw") + draw.choice("aeiou") for _ in range(syllables))
    return (made + draw.choice("nrst")).capitalize()


def _statement(model, before: dict, steps: dict, step: int) -> str:
    """INSERT … SELECT of one table's block for every copy."""
    columns, values = [], []
    for field in model._meta.concrete_fields:
        if field.generated:
            continue
        columns.append(f'"{field.column}"')
        values.append(_value(field, model, before, steps, step))
    table = model._meta.db_table
    return (
        f'INSERT INTO "{table}" ({", ".join(columns)}) SELECT {", ".join(values)} '
        f'FROM bench_copy c CROSS JOIN "{table}" t '
        f"WHERE t.id > {before[model]} AND t.id <= {before[model] + step}"
    )


def _value(field, model, before: dict, steps: dict, step: int) -> str:
    column = f't."{field.column}"'
    if field.primary_key:
        return f"{column} + c.k * {step}"
    to = field.related_model
    if to in steps:
        return (
            f"CASE WHEN {column} > {before[to]} THEN {column} + c.k * {steps[to]} ELSE {column} END"
        )
    if field.name == "page":
        return "NULL"
    if field.name == "token_hash":
        return f"substr({column}, 1, 48) || {_hex16('c.k')}"
    if field.name in ("message_id", "cause") and field.unique:
        return f"'k' || c.k || '.' || {column}"
    if field.get_internal_type() in ("CharField", "TextField", "JSONField", "EmailField"):
        return _named(column, field)
    return column


def _hex16(number: str) -> str:
    from django.db import connection

    if connection.vendor == "postgresql":
        return f"lpad(to_hex({number}), 16, '0')"
    return f"printf('%%016x', {number})".replace("%%", "%")


OWNED = {"name", "scraps", "phone", "dialled", "email", "town", "caller", "phone_digits", "ship_to",
         "document", "to", "word"}  # fmt: skip


def _named(column: str, field) -> str:
    """The text with the copy's own surname, town and exchange where it holds a person's."""
    from django.db import connection

    if field.name not in OWNED:
        return column
    is_json = field.get_internal_type() == "JSONField" and connection.vendor == "postgresql"
    text = f"{column}::text" if is_json else column
    for old, new in (
        ("Quornby", "c.surname"), ("quornby", "lower(c.surname)"), ("Zelbridge", "c.town"),
        ("zelbridge", "lower(c.town)"), ("802 555", "'802 ' || c.phone"), ("802555", "'802' || c.phone"),
    ):  # fmt: skip
        text = f"replace({text}, '{old}', {new})"
    return f"({text})::jsonb" if is_json else text


def _copy_words(cursor, before: dict, steps: dict) -> None:
    """Words of the block's orders, with each copy's own order, quote and factory order numbers."""
    from django.db import connection

    from ordering.models import Order, OrderWord

    numbers = r"t.word NOT IN (SELECT x FROM bench_numbers n WHERE n.o = t.order_id)"
    cursor.execute("DROP TABLE IF EXISTS bench_numbers")
    cursor.execute("CREATE TABLE bench_numbers (o bigint, x text)")
    found = set()
    sent = {}
    for order in Order.objects.filter(
        pk__gt=before[Order], pk__lte=before[Order] + steps[Order]
    ).select_related("acceptance"):
        own = [("c", order.pk)]
        if order.acceptance:
            own.append(("", order.acceptance.quote_id))
        sent[order.pk] = {x.factory_order_id for x in order.lines.all() if x.factory_order_id}
        own += [("f", key) for key in sent[order.pk]]
        for head, key in own:
            found |= {
                (order.pk, str(key)),
                (order.pk, f"{key:05d}"),
                (order.pk, f"{head}{key:05d}"),
            }
    cursor.executemany("INSERT INTO bench_numbers VALUES (%s, %s)", sorted(found))
    word, step = OrderWord._meta.db_table, steps[Order]
    field = OrderWord._meta.get_field("word")
    cursor.execute(
        f"INSERT INTO {word} (order_id, word) SELECT t.order_id + c.k * {step}, "
        f"{_named('t.word', field)} FROM bench_copy c CROSS JOIN {word} t "
        f"WHERE t.id > {before[OrderWord]} AND t.id <= {before[OrderWord] + steps[OrderWord]} AND {numbers} ON CONFLICT DO NOTHING"
    )
    pad = (
        "printf('%05d', {0})"
        if connection.vendor == "sqlite"
        else "lpad(({0})::text, greatest(5, length(({0})::text)), '0')"
    )
    text = "CAST({0} AS text)"
    last = before[Order] + steps[Order]

    def own(source: str, key: str, head: str) -> None:
        for form in (f"'{head}' || {pad.format(key)}", pad.format(key), text.format(key)):
            cursor.execute(
                f"INSERT INTO {word} (order_id, word) SELECT {source} AND o.id > {last} ON CONFLICT DO NOTHING".replace(
                    "@", form
                )
            )

    own("o.id, @ FROM ordering_order o WHERE true", "o.id", "c")
    own(
        "o.id, @ FROM ordering_order o JOIN quotes_acceptance a ON a.id = o.acceptance_id WHERE true",
        "a.quote_id",
        "",
    )
    own(
        "o.id, @ FROM ordering_order o JOIN ordering_orderline l ON l.order_id = o.id WHERE l.factory_order_id IS NOT NULL",
        "l.factory_order_id",
        "f",
    )
    cursor.execute("DROP TABLE bench_numbers")


def _copy_past(cursor, before: dict, steps: dict) -> None:
    """The desk's own lines as past orders, under each copy's own number."""
    from django.db import connection

    from ordering.models import Order, PastOrder

    if PastOrder not in steps:
        return
    cursor.execute("DROP TABLE IF EXISTS bench_past")
    cursor.execute("CREATE TABLE bench_past (p bigint, o bigint, n text)")
    rows = [(p.pk, int(m[1]), m[2]) for p in PastOrder.objects.filter(pk__gt=before[PastOrder])
            if (m := re.fullmatch(r"C-0*(\d+)/(\d+)", p.reference))]  # fmt: skip
    cursor.executemany("INSERT INTO bench_past VALUES (%s, %s, %s)", rows)
    number = f"(b.o + c.k * {steps[Order]})"
    pad = (
        f"printf('%05d', {number})"
        if connection.vendor == "sqlite"
        else f"lpad({number}::text, greatest(5, length({number}::text)), '0')"
    )
    cursor.execute(
        "INSERT INTO ordering_pastorder (reference, digits, family_id, part_number, quantity, ordered_on, shipped_on, promised_on) "
        f"SELECT 'C-' || {pad} || '/' || b.n, CAST({number} AS text), t.family_id, t.part_number, t.quantity, t.ordered_on, t.shipped_on, t.promised_on "
        "FROM bench_copy c CROSS JOIN bench_past b JOIN ordering_pastorder t ON t.id = b.p"
    )
    cursor.execute("DROP TABLE bench_past")


def _drop_indexes() -> list[str]:
    """Drops what is not a constraint's own index; the statements that make it again."""
    from django.db import connection

    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(
                "SELECT name, sql FROM sqlite_master WHERE type = 'index' AND sql LIKE 'CREATE INDEX%' "
                "AND (tbl_name LIKE 'quotes_%' OR tbl_name LIKE 'ordering_%')"
            )
        else:
            cursor.execute(
                "SELECT indexname, indexdef FROM pg_indexes WHERE indexdef LIKE 'CREATE INDEX%' "
                "AND (tablename LIKE 'quotes_%' OR tablename LIKE 'ordering_%')"
            )
        found = cursor.fetchall()
        for name, _ in found:
            cursor.execute(f'DROP INDEX "{name}"')
    return [sql for _, sql in found]


def settle() -> None:
    """What a night brings, and statistics for the planner, as a running shop has them."""
    from django.db import connection

    from ordering.events import watch_all
    from ordering.fits import fit_the_stale
    from ordering.judged import judge_all
    from ordering.models import Notice
    from quotes import worklist
    from quotes.triples import count_rows

    worklist.settle()
    watch_all()
    Notice.objects.filter(sent_at=None).exclude(to="").update(
        sent_at=datetime.now(UTC), attempts=1, body="", html=""
    )
    judge_all(date.today())
    fit_the_stale(date.today())
    count_rows()
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")


if __name__ == "__main__":
    main(int(sys.argv[1]))
