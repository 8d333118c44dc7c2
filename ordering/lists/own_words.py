"""Orders by a word of their own: a number, a town, a part, where it goes, what the customer calls it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import reduce
from operator import or_

from django.db.models import CharField, Q, QuerySet

from ordering.models import Order, OrderWord
from ordering.words import tokens
from quotes.scraps import digits, plain
from quotes.searched import A_PAGE, SHORTEST, one_by_one, quicker_gathered
from sizing.numerals import whole_number
from sizing.standing import Place, Sliced

_OWN = re.compile(r"[cf][\W_]*\d+")


def is_own_number(word: str) -> bool:
    """Whether a word is the number of an order or a factory order, or begins one."""
    return bool(_OWN.fullmatch(plain(word)))


def numbered(scrap: str) -> int | None:
    """The key of the order whose number a scrap of digits alone is, with its noughts or without: 12, 00012. None of
    anything else, such as the end of a phone, 0012."""
    key = whole_number(scrap.strip())
    return key if key and scrap.strip() in (str(key), f"{key:05}") else None


def own_words(choice: str) -> list[str]:
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
    return (word.isdigit() or is_own_number(word)) and len(digits(word)) < SHORTEST


def is_short(word: str) -> bool:
    """One or two letters, and no number. Those are a whole word, too."""
    return len(word) < SHORTEST and not word.isdigit() and not is_own_number(word)


def are_whole(words: list[str]) -> bool:
    """Whether these, the one or two ways to write one word, are looked for as they are."""
    return is_whole(words[0]) or is_short(words[0])


def holding(ways: Sequence[str | Place], whole: bool, of_one: bool = True) -> QuerySet[OrderWord]:
    """Words that are, or begin so: one way to write a word, or either of two; to be asked `of_one` order at a time, or
    of all. By the index of all words PostgreSQL went through each that begins so, for every order."""
    if whole:
        return OrderWord.objects.filter(word__in=ways)
    begins = "word__begins_by_letter" if of_one else "word__begins"
    return OrderWord.objects.filter(reduce(or_, (Q(**{begins: way}) for way in ways)))


def orders_holding(words: list[str]) -> set[int] | None:
    """Orders that hold one of these, the one or two ways to write one word; None of so many that they are sooner
    come by on the way through the newest."""
    held, ways = _ORDERS[are_whole(words)], set(words)
    # Way by way: of both at once SQLite looked up each row it had by the index alone.
    found = [held.first(A_PAGE + 1, one=way) for way in ways]
    if sum(map(len, found)) > A_PAGE:
        most = quicker_gathered(Order)
        if any(held.more_than(most, one=way) for way in ways):
            return None
        found = [held.first(most, one=way) for way in ways]
    return set().union(*found)


def orders_on_the_way(words: list[str], count: int) -> list[int]:
    """The first so many that hold one of these, come by on the way through all: the open ones first, then the
    newest."""
    which = are_whole(words), len(words) > 1
    return _ON_THE_WAY[which].first(count, one=words[0], other=words[-1])


_ONE, _OTHER = Place("one", CharField()), Place("other", CharField())
_ORDERS = {
    whole: Sliced(holding([_ONE], whole, of_one=False).order_by().values_list("order"))
    for whole in (True, False)
}
# Then the newest; the index `orders_found` has them so.
OPEN_FIRST = ("-is_open", "-id")
_ON_THE_WAY = {
    # (looked for as it is, in two ways)
    (whole, several): Sliced(
        Order.objects.filter(one_by_one(holding([_ONE, _OTHER][: 1 + several], whole), "order"))
        .order_by(*OPEN_FIRST)
        .values_list("pk")
    )
    for whole in (True, False)
    for several in (True, False)
}
