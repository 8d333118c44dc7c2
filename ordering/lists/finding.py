"""Finds orders by any scrap: a number, a name, a phone, an e-mail, a town, a part, a quote."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from heapq import nlargest
from typing import Any

from django.db.models import (
    BigIntegerField,
    CharField,
    F,
    Func,
    QuerySet,
)
from django.db.models.functions import StrIndex
from django.db.models.lookups import GreaterThan

from ordering.lists.own_words import (
    OPEN_FIRST,
    are_whole,
    is_own_number,
    is_short,
    is_whole,
    orders_holding,
    orders_on_the_way,
    own_words,
)
from ordering.lists.shapes import FEW_OPEN_FIRST, Shape, Stands, Values, first_holding, holding_all
from ordering.models import Order
from quotes.models import Customer, Quote
from quotes.scraps import begun_with, by_itself, wanted
from quotes.searched import (
    COMMON,
    SHORTEST,
    is_name,
    keys_holding,
    keys_holding_names,
    newest,
    quicker_gathered,
)
from sizing.among import Among
from sizing.rows import Rows
from sizing.standing import KEYS, Place, Sliced, StandingQuestion, keys_at_once

MOST = 12
# So many customers may have a good part of all orders between them.
MANY_PEOPLE = 50
# The orders of so many people are gathered while all open ones would be asked whose they are.
GATHERED = 1250
# So many of the newest orders are looked through for each that is wanted.
LATELY = 200


def find_orders(scrap: str, stands: Stands = "all") -> Rows:
    """Orders that hold every word of the scrap: those in which the first word begins a word of the
    order or of its customer, then the open ones, then the newest; of those that stand so.

    A word is found as the beginning of one of the order's own words, by an index, or anywhere in
    what the customer is known by; one or two letters as a whole word of either, or beside a longer word as the
    beginning of a customer's. Where every word stands in so many orders that they are looked for
    on the way through the newest, the first rule is left out: a million orders aren't put in order to
    show the first few.
    """
    asked = _words(list(filter(None, wanted(scrap))))

    def first(count: int) -> list[int]:
        known = asked[0].first(count) if len(asked) == 1 and stands == "all" else None
        return first_holding(*_told(asked), stands, count) if known is None else known

    def every() -> QuerySet[Order]:
        return holding_all(*_told(asked), stands).select_related("customer")

    return Rows(first, every)


def _told(asked: list[_Known | _Common]) -> tuple[tuple[Shape, ...], list[Values]]:
    """The first word ranks them."""
    told = [word.told(leads=not place) for place, word in enumerate(asked)]
    return tuple(shape for shape, _values in told), [values for _shape, values in told]


def ordered_from(quotes: QuerySet[Quote]) -> QuerySet[Order]:
    """The orders made of these quotes: the open ones first, then the newest."""
    if quotes.query.is_empty():
        return Order.objects.none()
    found = Order.objects.filter(acceptance__quote__in=quotes.order_by().values("pk"))
    return found.select_related("customer").order_by(*OPEN_FIRST)


def orders_of_customer(key: int) -> QuerySet[Order]:
    """The open ones first, then the newest."""
    return Order.objects.filter(customer=key).order_by(*OPEN_FIRST)


class _Known:
    """One word of a scrap: the keys of the orders of whose own it is one, and of the people who have it."""

    def __init__(self, word: str, orders: set[int], people: set[int]) -> None:
        self.word, self.orders, self.people = word, orders, people

    @cached_property
    def common(self) -> bool:
        """Whether so many have it that orders are asked one by one, and not which of them it begins a word of."""
        return len(self.people) > MANY_PEOPLE and _ALL_OF_PEOPLE.more_than(
            quicker_gathered(Order), keys=self.people
        )

    def told(self, leads: bool) -> tuple[Shape, Values]:
        """If it leads, those are ranked in which it begins a word, unless all of them do, or none, or so many have it
        that nobody asks."""
        values: dict[str, Any] = {"orders": self.orders} if self.orders else {}
        if self.people:
            values["many" if self.common else "people"] = self.people
        ranked = leads and not self.common and self._called != self.people
        if ranked and self._called:
            values["called"] = self._called
        ranked &= bool(self.orders or self._called)
        return Shape(tuple(values), common=self.common, ranked=ranked), values

    @cached_property
    def _called(self) -> set[int]:
        """Of the people those of whom one name, town or number begins so: "rand" is Otis Rand before it is Una
        Brandt. One customer's orders all begin so, or none does; of many nobody asks, nor of a mail."""
        several = len(self.people) + bool(self.orders) > 1
        # A mail is typed from its beginning.
        if not several or "@" in self.word or max(len(self.people), len(self.orders)) > COMMON:
            return self.people
        behind_a_blank, of_a_line = begun_with(self.word)
        begun = _BEGUN(keys=self.people, blank=behind_a_blank, line=of_a_line)
        return set(keys_at_once(begun))

    def first(self, count: int) -> list[int] | None:
        """The first keys as `find_orders` has them in order; None: the question for all gives them sooner."""
        if len(self.people) <= COMMON and self.common:
            return None
        if not self.orders:
            found = _theirs(self._called, count)
            others = self.people - self._called if len(found) < count else set[int]()
            return [*found, *_theirs(others, count - len(found))]
        begun = self.orders.union(_theirs(self._called, count))
        others = set(_theirs(self.people - self._called, count)) if len(begun) < count else set()
        return _one_after_the_other([begun, others], count)


class _Common:
    """One word of a scrap that more than a few orders have, or people: asked of each order on the way through the
    newest, the first few come soon. `people` are the few who have it; None: more, who have one of the `said`."""

    def __init__(self, own: list[str], said: list[str], people: set[int] | None) -> None:
        self.own, self.said, self.people = own, said, people

    def told(self, leads: bool) -> tuple[Shape, Values]:
        """None of them leads."""
        values: dict[str, Any] = {f"own{n}": word for n, word in enumerate(self.own)}
        if self.people is None:
            values |= {f"said{n}": word for n, word in enumerate(self.said)}
        elif self.people:
            values["people"] = self.people
        whole = bool(self.own) and are_whole(self.own)
        return Shape(tuple(values), common=True, whole=whole), values

    def first(self, count: int) -> list[int] | None:
        """As of `_Known`."""
        if not self.own or self.people is None or len(self.people) > MANY_PEOPLE:
            return None
        found = {*orders_on_the_way(self.own, count), *_theirs(self.people, count)}
        return _one_after_the_other([found], count)


def _one_after_the_other(ranks: list[set[int]], count: int) -> list[int]:
    """So many keys, of each rank the open orders first, then the newest, none of them twice."""
    keys = set().union(*ranks)
    if len(keys) > COMMON:
        # Thousands of numbers begin alike, of which only the newest can be open.
        since = oldest_open()
        keys = {key for key in keys if key >= since}
    open_ones = set(keys_at_once(_OPEN(keys=keys))) if keys else set()
    found: dict[int, None] = {}
    for rank in ranks:
        for apart in (rank.intersection, rank.difference):
            if len(found) < count:
                found |= dict.fromkeys(nlargest(count, apart(open_ones)))
    return list(found)[:count]


def oldest_open() -> int:
    """The key of the oldest order that is open; 0 if none is."""
    return next(iter(_OLDEST_OPEN()), 0)


def _theirs(people: set[int], count: int) -> list[int]:
    """The first so many of their orders. Those of many people are looked for among the open and the newest ones:
    all of theirs would be gathered and put in order for a few."""
    if not people:
        return []
    if len(people) > GATHERED:
        lately = _OPEN_OF_PEOPLE.first(count, keys=people)
        if len(lately) < count:
            since = newest(Order) - LATELY * count
            lately += _LATELY_OF_PEOPLE.first(count - len(lately), keys=people, since=since)
        if len(lately) == count:
            return lately
    return _OF_PEOPLE.first(count, keys=people)


# Asked of these people alone: PostgreSQL would look for all who are called so in its index of triples.
_BEGUN = StandingQuestion(
    Customer.objects.filter(
        GreaterThan(StrIndex("scraps", Place("blank", CharField())), 0)
        | GreaterThan(StrIndex("scraps", Place("line", CharField())), 0),
        pk__among=KEYS,
    )
    .order_by()
    .values_list("pk")
)
# Asked of each order: by the index of customers SQLite would gather all of theirs.
_ON_THE_WAY = Order.objects.filter(Among(Func(F("customer"), template="+%(expressions)s"), KEYS))
_OPEN_OF_PEOPLE = Sliced(_ON_THE_WAY.filter(is_open=True).order_by("-id").values_list("pk"))
_LATELY_OF_PEOPLE = Sliced(
    _ON_THE_WAY.filter(is_open=False, pk__gt=Place("since", BigIntegerField()))
    .order_by("-id")
    .values_list("pk")
)
_OF_PEOPLE = Sliced(
    Order.objects.filter(customer__pk__among=KEYS).order_by(*FEW_OPEN_FIRST).values_list("pk")
)
# To be counted: in order, all of them would be sorted first.
_ALL_OF_PEOPLE = Sliced(Order.objects.filter(customer__pk__among=KEYS).order_by().values_list("pk"))
_OPEN = StandingQuestion(
    Order.objects.filter(is_open=True, pk__among=KEYS).order_by().values_list("pk")
)
_OLDEST_OPEN = StandingQuestion(
    Order.objects.filter(is_open=True).order_by("id").values_list("pk", flat=True)[:1]
)


def _word(
    choices: list[str], own: list[str], orders: set[int] | None, names: Sequence[list[str]]
) -> _Known | _Common:
    """The first choice is the word as typed; the others are ways to write a phone number. `orders` are those
    that hold one of its `own` words; None: more than a few. `names`: what its customer must have as well."""
    # Two digits stand in nearly every phone. Nobody is called C-12.
    said = [word for word in choices if len(word) >= SHORTEST and not is_own_number(word)]
    if is_short(choices[0]):
        said = [by_itself(choices[0])]
    people = keys_holding_names(Customer, [*names, said]) if names and said else None
    if people is None:
        found = [keys_holding(Customer, word) for word in said]
        people = None if None in found else set().union(*found)
    if orders is None or people is None:
        return _Common(own, said, people)
    return _Known(choices[0], orders, people)


def _as_a_house(number: str) -> list[str]:
    """How a street begins with this number in what a customer is known by."""
    return [f"\n{number} ", f" {number} "]


def _words(scrap: list[list[str]]) -> list[_Known | _Common]:
    """A scrap word by word; those that no order holds itself as one, where few customers hold them all: many share
    a first name. One or two letters beside a longer word are how a name begins: "wu", "j marsh"; one or two digits
    beside what only people are known by may be their house: "3 quarry"."""
    longer = [choices for choices in scrap if not is_short(choices[0])]
    begun = [choices[0] for choices in scrap if longer and choices not in longer]
    scrap = longer or scrap
    own = [own_words(choices[0]) for choices in scrap]
    orders = [orders_holding(words) if words else set() for words in own]
    asked = list(zip(scrap, own, orders, strict=True))
    names = [
        choices
        for choices, _own, held in asked
        if is_name(choices) and held == set() and not is_whole(choices[0])
    ]
    people = keys_holding_names(Customer, names)
    found: list[_Known | _Common] = []
    for choices, own_of_it, held in asked:
        if names and is_whole(choices[0]):
            found.append(_Common(own_of_it, _as_a_house(choices[0]), None))
        elif people is None or choices not in names:
            found.append(_word(choices, own_of_it, held, () if choices in names else names))
        elif choices is names[0]:
            found.append(_Known(choices[0], set(), people))
    return [*found, *(_Common(own_words(word), begun_with(word), None) for word in begun)]
