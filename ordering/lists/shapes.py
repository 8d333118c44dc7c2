"""How the words of a scrap ask for orders: one question for each shape of words, put together once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any, Literal, NamedTuple

from django.db.models import Case, CharField, Exists, OuterRef, Q, QuerySet, When

from ordering.lists.own_words import OPEN_FIRST, holding
from ordering.models import Order
from quotes.models import Customer
from sizing.standing import Place, Sliced

# "closed" are those of which nothing is left to do.
Stands = Literal["all", "open", "closed"]
# As OPEN_FIRST, for orders that are found otherwise, a few: by its index SQLite went through all orders there are.
FEW_OPEN_FIRST = (Case(When(is_open=True, then=0), default=1), "-id")
# The values of a question that are keys; the others are words.
_KEYS = ("orders", "people", "many", "called")


def orders_standing(stands: Stands) -> QuerySet[Order]:
    return (
        Order.objects.all() if stands == "all" else Order.objects.filter(is_open=stands == "open")
    )


class Shape(NamedTuple):
    """How a word is asked for, whatever its values: their names, whether of each order on the way through the newest,
    as it is, and those first in which it begins a word."""

    names: tuple[str, ...]
    common: bool = False
    whole: bool = False
    ranked: bool = False


# {name: value of a question, or its place}
Values = Mapping[str, Any]


def first_holding(
    shapes: tuple[Shape, ...], values: Sequence[Values], stands: Stands, count: int
) -> list[int]:
    """The first keys of `holding_all`."""
    if not shapes or not all(values):
        return []
    given = {f"{name}_{n}": value for n, one in enumerate(values) for name, value in one.items()}
    return _standing(shapes, stands).first(count, **given)


@lru_cache(maxsize=500)
def _standing(shapes: tuple[Shape, ...], stands: Stands) -> Sliced:
    """To put the question together takes longer than most answers, and the next scrap of this shape asks the same."""
    places = [
        {name: Place(f"{name}_{n}", None if name in _KEYS else CharField()) for name in shape.names}
        for n, shape in enumerate(shapes)
    ]
    return Sliced(holding_all(shapes, places, stands).values_list("pk"))


def holding_all(
    shapes: tuple[Shape, ...], values: Sequence[Values], stands: Stands
) -> QuerySet[Order]:
    """Orders that hold every word, of those that stand so."""
    found = orders_standing(stands)
    if not shapes:
        return found.none()
    for shape, of in zip(shapes, values, strict=True):
        found = found.filter(_held(shape, of)) if of else found.none()
    if all(shape.common for shape in shapes):
        return found.order_by(*OPEN_FIRST)
    begins = [Case(When(_begun(values[0]), then=0), default=1)] if shapes[0].ranked else []
    return found.order_by(*begins, *FEW_OPEN_FIRST)


def _held(shape: Shape, of: Values) -> Q:
    """Orders that hold the word in one of these ways."""
    held = Q(pk__among=of["orders"]) if "orders" in of else Q()
    if own := [value for name, value in of.items() if name.startswith("own")]:
        held |= Q(Exists(holding(own, shape.whole).filter(order=OuterRef("pk"))))
    if "many" in of:
        # Asked of each order: by the index of customers SQLite would gather all of theirs.
        known = Customer.objects.filter(pk=OuterRef("customer"), pk__among=of["many"])
        held |= Q(Exists(known))
    if "people" in of:
        held |= Q(customer__pk__among=of["people"])
    for name, value in of.items():
        if name.startswith("said"):
            held |= Q(customer__scraps__contains=value)
    return held


def _begun(of: Values) -> Q:
    """Of these the orders of which a word begins so."""
    begun = Q(pk__among=of["orders"]) if "orders" in of else Q()
    return begun | Q(customer__pk__among=of["called"]) if "called" in of else begun
