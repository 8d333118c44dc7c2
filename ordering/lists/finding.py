"""Finds orders by any scrap: a number, a name, a phone, an e-mail, a town, a part, a quote."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db.models import Case, Count, Exists, OuterRef, Q, QuerySet, Subquery, When
from django.db.models.functions import Coalesce

from ordering.models import Order, OrderLine, OrderWord
from ordering.words import tokens
from quotes.models import Customer
from quotes.scraps import wanted
from sizing.lists import between
from sizing.people import named

MOST = 12


def find_orders(scrap: str) -> QuerySet[Order]:
    """Orders that hold every word of the scrap: those in which the first word begins a word of the
    order or of its customer, then the open ones, then the newest.

    A word is found as the beginning of one of the order's own words, by an index, or anywhere in
    what the customer is known by.
    """
    found = Order.objects.select_related("customer")
    asked = False
    begins = Q()
    for choices in filter(None, wanted(scrap.replace("\0", ""))):
        any_of = Q()
        # The first choice is the word as typed; the others are ways to write a phone number.
        for word in _own_words(choices[0]):
            any_of |= Q(pk__in=_beginning(word))
        people = Q()
        for choice in choices:
            # One or two letters stand in nearly every name; they are looked for in numbers only.
            if len(choice) >= 3:
                people |= Q(scraps__contains=choice)
        if not asked:
            begins = any_of | _word_of_customer(choices[0])
        asked = True
        if people:
            any_of |= Q(customer__in=Customer.objects.filter(people).values("pk"))
        found = found.filter(any_of) if any_of else found.none()
    if not asked:
        return found.none()
    return found.order_by(Case(When(begins, then=0), default=1), "-is_open", "-id")


def orders_asked_for(said: Mapping[str, Any]) -> QuerySet[Order]:
    """Orders with all the words, or without words the open ones; that stand so, of the family, of these days."""
    words = said["q"].strip()
    found = find_orders(words) if words else Order.objects.order_by("-id")
    stands = said["stands"] or ("all" if words else "open")
    if stands != "all":
        found = found.filter(is_open=stands == "open")
    if said["family"]:
        of_family = OrderLine.objects.filter(order=OuterRef("pk"), family__code=said["family"])
        found = found.filter(Exists(of_family))
    found = found.filter(between("placed_on", said["since"], said["until"], moments=False))
    return as_listed(found)


def as_listed(found: QuerySet[Order]) -> QuerySet[Order]:
    """The orders with what their list says besides: who took it, how many lines, how many still open."""
    lines = OrderLine.objects.filter(order=OuterRef("pk")).order_by().values("order")
    counted = lines.annotate(count=Count("pk")).values("count")
    still = lines.filter(is_open=True).annotate(count=Count("pk")).values("count")
    return found.select_related("customer").annotate(
        by=named("taken_by"),
        line_count=Coalesce(Subquery(counted), 0),
        open_count=Coalesce(Subquery(still), 0),
    )


def _word_of_customer(word: str) -> Q:
    """A name, town or number that begins so: "rand" is Otis Rand before it is Una Brandt."""
    known = Q(customer__scraps__startswith=word)
    for before in (" ", "\n"):
        known |= Q(customer__scraps__contains=f"{before}{word}")
    return known


def _own_words(choice: str) -> list[str]:
    """The order's words to look for: marks inside a number are left out, a number is tried at full length."""
    made = tokens(choice)
    if not made:
        return []
    word = made[-1]
    head, number = ("", word) if word.isdigit() else (word[0], word[1:])
    if number.isdigit() and head in ("", "c", "f"):
        return [word, f"{head}{number.lstrip('0'):0>5}"]
    return [word]


def _beginning(word: str) -> QuerySet:
    """Orders with a word that begins so, as a range: the one form that every database's index serves."""
    words = OrderWord.objects.filter(word__gte=word)
    after = word[:-1] + chr(ord(word[-1]) + 1)
    return words.filter(word__lt=after).values("order")
