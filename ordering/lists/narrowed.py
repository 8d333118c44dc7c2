"""The list of orders, narrowed by all that can be said of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db.models import BigIntegerField, Exists, OuterRef, QuerySet

from ordering.lists.finding import find_orders
from ordering.lists.own_words import OPEN_FIRST
from ordering.models import Order, OrderLine
from quotes.searched import either, through
from sizing.lists import between
from sizing.lookup import family_key
from sizing.rows import Rows, first_keys
from sizing.standing import Place, Sliced


def orders_asked_for(said: Mapping[str, Any]) -> Rows:
    """Orders with all the words, or without words the open ones; that stand so, of the customer, of the family,
    placed by this person, on these days. Of one customer the closed ones come, too, after the open ones."""
    words, customer = said["q"].strip(), said["customer"]
    narrowing = {name for name, value in said.items() if value and name != "q"}
    if words and not narrowing:
        return find_orders(words)
    stands = said["stands"] or ("all" if words or customer else "open")
    family = family_key(said["family"]) if said["family"] else None

    def every() -> QuerySet[Order]:
        found = find_orders(words).every() if words else Order.objects.order_by("-id")
        if customer:
            found = found.filter(customer=customer)
        if said["by"]:
            found = found.filter(taken_by=said["by"])
        if (customer or said["by"]) and not words:
            found = found.order_by(*OPEN_FIRST)
        if stands != "all":
            found = found.filter(is_open=stands == "open")
        if family:
            of_family = OrderLine.objects.filter(family=family)
            found = found.filter(either([through(of_family, "order", on_the_way=True)]))
        return found.filter(between("placed_on", said["since"], said["until"], moments=False))

    def first(count: int) -> list[int]:
        if words or not family or narrowing - {"family", "stands"}:
            return first_keys(every(), count)
        return _OF_FAMILY[stands].first(count, family=family)

    return Rows(first, every)


_LINES = OrderLine.objects.filter(family=Place("family", BigIntegerField())).order_by("-order_id")
# The newest orders with a line of the family. Open are a few of all: each of those is asked.
_OF_FAMILY = {
    "open": Sliced(
        Order.objects.filter(Exists(_LINES.order_by().filter(order=OuterRef("pk"))), is_open=True)
        .order_by("-id")
        .values_list("pk")
    ),
    "closed": Sliced(_LINES.filter(order__is_open=False).values_list("order_id").distinct()),
    "all": Sliced(_LINES.values_list("order_id").distinct()),
}
