"""The list of orders, narrowed by all that can be said of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db.models import BigIntegerField, Exists, OuterRef, QuerySet

from ordering.lists.finding import find_orders, oldest_open
from ordering.lists.own_words import OPEN_FIRST
from ordering.lists.shapes import Stands, orders_standing
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
    stands = said["stands"] or ("all" if words or customer else "open")
    if words and narrowing <= {"stands"}:
        return find_orders(words, stands)
    family = family_key(said["family"]) if said["family"] else None

    def every() -> QuerySet[Order]:
        found = (
            find_orders(words, stands).every() if words else orders_standing(stands).order_by("-id")
        )
        if customer:
            found = found.filter(customer=customer)
        if said["by"]:
            found = found.filter(taken_by=said["by"])
        if (customer or said["by"]) and not words:
            found = found.order_by(*OPEN_FIRST)
        if family:
            of_family = OrderLine.objects.filter(family=family)
            found = found.filter(either([through(of_family, "order", on_the_way=True)]))
        return found.filter(between("placed_on", said["since"], said["until"], moments=False))

    def first(count: int) -> list[int]:
        if words or not family or narrowing - {"family", "stands"}:
            return first_keys(every(), count)
        return _first_of_family(family, stands, count)

    return Rows(first, every)


def _first_of_family(family: int, stands: Stands, count: int) -> list[int]:
    if stands != "open":
        return _OF_FAMILY[stands].first(count, family=family)
    since = oldest_open()
    lately = not _LATELY.more_than(MOST_LATELY, family=family, since=since)
    return (_OPEN_LATELY if lately else _OPEN).first(count, family=family, since=since)


# So many lines are read sooner than all open orders are asked whether they have one.
MOST_LATELY = 2000
_LINES = OrderLine.objects.filter(family=Place("family", BigIntegerField())).order_by("-order_id")
# The newest orders with a line of the family.
_OF_FAMILY = {
    "closed": Sliced(_LINES.filter(order__is_open=False).values_list("order_id").distinct()),
    "all": Sliced(_LINES.values_list("order_id").distinct()),
}
# Open are mostly the newest: of few lines since the oldest of those, else each open order is asked.
_SINCE = _LINES.filter(order__gte=Place("since", BigIntegerField()))
_LATELY = Sliced(_SINCE.order_by().values_list("pk"))
_OPEN_LATELY = Sliced(_SINCE.filter(order__is_open=True).values_list("order_id").distinct())
_OPEN = Sliced(
    Order.objects.filter(Exists(_LINES.order_by().filter(order=OuterRef("pk"))), is_open=True)
    .order_by("-id")
    .values_list("pk")
)
