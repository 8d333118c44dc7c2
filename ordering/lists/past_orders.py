"""Orders of the past that was read in, for who asks about one that the desk itself never wrote."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

from django.db.models import CharField, Q

from ordering.expected import lead_times_of
from ordering.lists.own_words import is_whole
from ordering.models import OrderLine, PastOrder
from ordering.sentences import day, window_in_words
from ordering.states import Window
from quotes.scraps import bare_number
from sizing.models import Family
from sizing.standing import KEYS, Place, StandingQuestion

LEAST, LEAST_DIGITS = 2, 3
OWN = re.compile(r"C-0*(\d{1,18})/(\d{1,4})")
# An open one older than this was more likely never marked as shipped than is still being made.
BELIEVED = timedelta(days=365)


@dataclass(frozen=True)
class PastAnswer:
    """One past order as it is read out."""

    order: PastOrder
    sentence: str
    basis: str


def find_past(scrap: str, most: int) -> list[PastOrder]:
    """At most so many whose reference begins with the scrap, in the letters as typed, all small or all
    capital, then those whose number begins with it; the shortest reference first, so that a whole one
    comes before those it begins. One or two digits are a whole one, as of the desk's own.
    """
    word = " ".join(bare_number(scrap.replace("\0", "")).split())
    if len(word) < LEAST:
        return []
    forms = dict.fromkeys([word, word.upper(), word.lower()])
    if is_whole(word):
        return list(PastOrder.objects.filter(reference__in=forms)[:most])
    found: dict[int, PastOrder] = {}
    for form in forms:
        # One form at a time, in the order of the index: a short scrap that a million begin with is no scan.
        found |= _first("reference", form, most)
    number = word.lstrip("0") if word.isascii() and word.isdigit() else ""
    inside = _first("digits", number, most) if len(number) >= LEAST_DIGITS else {}
    shortest = sorted(found.values(), key=_length)
    return [*shortest, *sorted((inside[pk] for pk in inside.keys() - found), key=_length)][:most]


def _length(order: PastOrder) -> tuple[int, str]:
    return len(order.reference), order.reference


def _first(field: str, word: str, most: int) -> dict[int, PastOrder]:
    """The first of those whose field begins so."""
    return {order.pk: order for order in _beginning(field, most)(word=word)}


@cache
def _beginning(field: str, most: int) -> StandingQuestion:
    begins = Q(**{f"{field}__begins": Place("word", CharField())})
    return StandingQuestion(PastOrder.objects.filter(begins).order_by(field)[:most])


def past_answers(scrap: str, most: int, today: date) -> list[PastAnswer]:
    """At most so many; lines of the desk's own orders, which are kept in the past too, are left out."""
    found = _not_own(find_past(scrap, 2 * most))[:most]
    # Not joined: a database may begin with the families and read a million rows.
    families = {one.pk: one for one in _FAMILIES(keys={order.family_id for order in found})}
    for order in found:
        order.family = families[order.family_id]
    return [_answer(order, today) for order in found]


_FAMILIES = StandingQuestion(
    Family.objects.filter(pk__among=KEYS).order_by().select_related("factory")
)
_OWN_LINES = StandingQuestion(
    OrderLine.objects.filter(order__pk__among=KEYS).order_by().values_list("order", "number")
)


def _not_own(found: list[PastOrder]) -> list[PastOrder]:
    named = {order.pk: own for order in found if (own := OWN.fullmatch(order.reference))}
    lines = {key: (int(own[1]), int(own[2])) for key, own in named.items()}
    own = set(_OWN_LINES(keys={order for order, _line in lines.values()}))
    return [order for order in found if lines.get(order.pk) not in own]


def _answer(order: PastOrder, today: date) -> PastAnswer:
    head = (
        f"Order {order.reference}, {order.quantity} of {order.part_number} ({order.family.name}), "
        f"placed on {day(order.ordered_on, today)},"
    )
    if order.shipped_on and order.shipped_on <= today:
        return PastAnswer(order, f"{head} was shipped on {day(order.shipped_on, today)}.", "")
    if today - order.ordered_on > BELIEVED:
        return PastAnswer(
            order, f"{head} is not marked as shipped in what was read in; look for its papers.", ""
        )
    family = order.family.code
    found = lead_times_of(order.family.factory, today, family).of_open(
        family, order.part_number, order.quantity, order.ordered_on, order.promised_on,
        weeks=order.weeks,
    )  # fmt: skip
    window = Window(found.earliest, found.likely, found.latest, found.basis)
    said = f"{head} had not shipped when the past was read in; it {window_in_words(window, today)}."
    return PastAnswer(order, said, found.basis)
