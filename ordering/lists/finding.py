"""Finds orders by any scrap: a number, a name, a phone, an e-mail, a town, a part, a quote."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import reduce
from operator import or_
from typing import Any

from django.db.models import Case, CharField, Count, Exists, OuterRef, Q, QuerySet, Subquery, When
from django.db.models.functions import Coalesce

from ordering.models import Order, OrderLine, OrderWord
from ordering.states import Step
from ordering.words import tokens
from quotes.models import Customer, Quote
from quotes.scraps import plain, wanted
from quotes.searched import (
    A_PAGE,
    COMMON,
    SHORTEST,
    Counted,
    either,
    is_name,
    keys_holding,
    keys_holding_names,
    quicker_gathered,
    texts_of,
    through,
)
from sizing.lists import between
from sizing.standing import KEYS, Place, StandingQuestion, at_once

MOST = 12
# So many customers may have a good part of all orders between them.
MANY_PEOPLE = 50
# Then the newest; the index `orders_found` has them so.
OPEN_FIRST = ("-is_open", "-id")
# The same for orders that are found otherwise, a few: by that index SQLite went through all orders there are.
_FEW_OPEN_FIRST = (Case(When(is_open=True, then=0), default=1), "-id")


def find_orders(scrap: str) -> QuerySet[Order]:
    """Orders that hold every word of the scrap: those in which the first word begins a word of the
    order or of its customer, then the open ones, then the newest.

    A word is found as the beginning of one of the order's own words, by an index, or anywhere in
    what the customer is known by. Where every word stands in so many orders that they are looked for
    on the way through the newest, the first rule is left out: a million orders aren't put in order to
    show the first few.
    """
    asked = _words(list(filter(None, wanted(scrap.replace("\0", "")))))
    found = Order.objects.select_related("customer")
    if not asked:
        return found.none()
    for word in asked:
        found = found.filter(word.held) if word.held else found.none()
    if all(word.common for word in asked):
        return found.order_by(*OPEN_FIRST)
    first = asked[0].begins
    return found.order_by(
        *([Case(When(first, then=0), default=1)] if first else []), *_FEW_OPEN_FIRST
    )


def ordered_from(quotes: QuerySet[Quote]) -> QuerySet[Order]:
    """The orders made of these quotes: the open ones first, then the newest."""
    if quotes.query.is_empty():
        return Order.objects.none()
    found = Order.objects.filter(acceptance__quote__in=quotes.order_by().values("pk"))
    return found.select_related("customer").order_by(*OPEN_FIRST)


def orders_of_customer(key: int) -> QuerySet[Order]:
    """The open ones first, then the newest."""
    return Order.objects.filter(customer=key).order_by(*OPEN_FIRST)


@dataclass(frozen=True)
class _Word:
    """One word of a scrap: the orders that hold it, and of these the ones in which it begins a word;
    None: all of them do, or so many hold it, it is `common`, that nobody asks."""

    held: Q
    begins: Q | None = None
    common: bool = False

    @classmethod
    def of(cls, choices: list[str], own: list[str], orders: set[int] | None) -> _Word:
        """The first choice is the word as typed; the others are ways to write a phone number. `orders` are those
        that hold one of its `own` words; None: more than a few."""
        # One or two letters stand in nearly every name; they are looked for in numbers only. Nobody is called C-12.
        said = [word for word in choices if len(word) >= SHORTEST and not is_own_number(word)]
        people = [keys_holding(Customer, word) for word in said]
        if orders is not None and None not in people:
            return cls.known(choices[0], orders, set().union(*people))
        # Asked of each order on the way through the newest: so many hold it that the first few come soon.
        held = Q(Exists(_holding(own).filter(order=OuterRef("pk")))) if own else Q()
        if None not in people:
            return cls(held | Q(customer__pk__among=set().union(*people)), common=True)
        for word in said:
            held |= Q(customer__scraps__contains=word)
        return cls(held, common=True)

    @classmethod
    def known(cls, word: str, orders: set[int], people: set[int]) -> _Word:
        """A word of these orders' own, and of these people."""
        mine = Q(pk__among=orders) if orders else Q()
        theirs = Q(customer__pk__among=people)
        held = mine | theirs if people else mine
        if len(people) > MANY_PEOPLE and _OF_PEOPLE.more_than(quicker_gathered(Order), keys=people):
            # Asked of each order: by the index of customers SQLite would gather all of theirs.
            known = Customer.objects.filter(pk=OuterRef("customer"), pk__among=people)
            return cls(mine | Q(Exists(known)), common=True)
        # One customer's orders all begin so, or none does; of many nobody asks.
        ask = len(people) + bool(orders) > 1 and max(len(people), len(orders)) <= COMMON
        first = _called(people, word) if ask else people
        return cls(held, None if first == people else mine | Q(customer__pk__among=first))


def _words(scrap: list[list[str]]) -> list[_Word]:
    """A scrap word by word; those that no order holds itself as one, where few customers hold them all: many share
    a first name."""
    own = [_own_words(choices[0]) for choices in scrap]
    orders = [_orders_holding(words) if words else set() for words in own]
    asked = list(zip(scrap, own, orders, strict=True))
    names = [choices for choices, _own, held in asked if is_name(choices) and held == set()]
    people = keys_holding_names(Customer, names)
    if people is None:
        return [_Word.of(*word) for word in asked]
    return [
        _Word.known(word[0][0], set(), people) if word[0] in names else _Word.of(*word)
        for word in asked
        if word[0] is names[0] or word[0] not in names
    ]


def orders_asked_for(said: Mapping[str, Any]) -> QuerySet[Order]:
    """Orders with all the words, or without words the open ones; that stand so, of the customer, of the family,
    of these days. Of one customer the closed ones come, too, after the open ones."""
    words, customer = said["q"].strip(), said["customer"]
    found = find_orders(words) if words else Order.objects.order_by("-id")
    if customer:
        found = found.filter(customer=customer)
        found = found if words else found.order_by(*OPEN_FIRST)
    stands = said["stands"] or ("all" if words or customer else "open")
    if stands != "all":
        found = found.filter(is_open=stands == "open")
    if said["family"]:
        of_family = OrderLine.objects.filter(family__code=said["family"])
        found = found.filter(either([through(of_family, "order")]))
    return found.filter(between("placed_on", said["since"], said["until"], moments=False))


def with_lines_counted(found: QuerySet[Order]) -> QuerySet[Order]:
    """The orders with how many lines they have, and how many of them are still open."""
    lines = OrderLine.objects.filter(order=OuterRef("pk")).order_by().values("order")
    counted = lines.annotate(count=Count("pk")).values("count")
    still = lines.filter(is_open=True).annotate(count=Count("pk")).values("count")
    return found.annotate(
        line_count=Coalesce(Subquery(counted), 0), open_count=Coalesce(Subquery(still), 0)
    )


_STEPS = StandingQuestion(
    OrderLine.objects.filter(order__pk__among=KEYS)
    .order_by()
    .values_list("order", "step", "is_open", "left_on", "promised_on", "told_likely")
)


def with_steps(orders: list[Order]) -> list[Order]:
    """The orders, each with its lines' steps in words, the least advanced first, as `steps`, and as `leaves`
    the day on which the next of it is to leave its factory: the factory's own date, else the likeliest one told."""
    found: dict[int, list[tuple]] = defaultdict(list)
    for key, *line in _STEPS(keys=[order.pk for order in orders]):
        found[key].append(line)
    for order in orders:
        mine = found[order.pk]
        still = {Step(step) for step, is_open, *_rest in mine if is_open or not order.is_open}
        order.steps = "; ".join(step.words for step in Step if step in still)
        days = [
            promised or likely
            for _step, is_open, left, promised, likely in mine
            if is_open and not left
        ]
        order.leaves = min(filter(None, days), default=None)
    return orders


def _called(people: set[int], word: str) -> set[int]:
    """Of these customers those of whose names, towns or numbers one begins so: "rand" is Otis Rand before it is
    Una Brandt."""
    begins = re.compile(rf"(?:^|[ \n]){re.escape(word)}")
    return {key for key, scraps in texts_of(Customer, people) if begins.search(scraps)}


_OWN = re.compile(r"[cf][\W_]*\d+")


def is_own_number(word: str) -> bool:
    """Whether a word is the number of an order or a factory order, or begins one."""
    return bool(_OWN.fullmatch(plain(word)))


def _own_words(choice: str) -> list[str]:
    """The order's words to look for: marks inside a number are left out, a number is tried at full length.
    Of a mail none: it is the customer's."""
    made = tokens(choice)
    if not made or "@" in choice:
        return []
    word = made[-1]
    if word.isdigit() or is_own_number(word):
        head, number = ("", word) if word.isdigit() else (word[0], word[1:])
        return [word, f"{head}{number.lstrip('0'):0>5}"]
    return [word]


def is_whole(word: str) -> bool:
    """Whether it is looked for as it is: one or two digits are a whole number, for half of all begin with them."""
    digits = sum(letter.isdigit() for letter in word)
    return digits < SHORTEST and (word.isdigit() or is_own_number(word))


def _holding(words: list[str]) -> QuerySet[OrderWord]:
    """Words that are one of these or begin so."""
    if is_whole(words[0]):
        return OrderWord.objects.filter(word__in=words)
    return OrderWord.objects.filter(reduce(or_, (Q(word__begins=word) for word in words)))


def _orders_holding(words: list[str]) -> set[int] | None:
    """Orders that hold one of these, the one or two ways to write one word; None of so many that they are sooner
    come by on the way through the newest."""
    whole, several = is_whole(words[0]), len(words) > 1
    given = {"one": words[0], "other": words[-1]} if several else {"one": words[0]}
    found = at_once(_FIRST[whole, several](**given))
    if len(found) > A_PAGE:
        if _COUNTED[whole, several].more_than(quicker_gathered(Order), **given):
            return None
        found = at_once(_holding(words).values_list("order"))
    return {order for (order,) in found}


def _standing(how: str, several: bool) -> QuerySet[OrderWord]:
    """Words that are, or begin so: one way to write a word, or either of two."""
    one, other = (Q(**{how: Place(name, CharField())}) for name in ("one", "other"))
    return OrderWord.objects.filter(one | other if several else one)


_HELD = {
    (whole, several): _standing("word" if whole else "word__begins", several)
    for whole in (True, False)
    for several in (True, False)
}
_FIRST = {
    which: StandingQuestion(words.values_list("order")[: A_PAGE + 1])
    for which, words in _HELD.items()
}
_COUNTED = {which: Counted(words) for which, words in _HELD.items()}
_OF_PEOPLE = Counted(Order.objects.filter(customer__pk__among=KEYS))
