"""The words that an order is found by. Pure but for reading the rows it is given."""

from __future__ import annotations

import re
from collections.abc import Iterable

from ordering.models import Order, OrderLine
from quotes.scraps import plain

_WORD = re.compile(r"\w+")
_OWN = re.compile(r"C-\d{5,}/\d+")
_NUMBER = re.compile("[0-9]{3,}")
LONGEST = 40


def tokens(text: str) -> list[str]:
    """Plain words of a text, and what marks inside it were joined: "OL-20/25" is ol, 20, 25, ol2025."""
    found = []
    for chunk in plain(text).split():
        parts = [part[:LONGEST] for part in _WORD.findall(chunk)]
        found += parts
        if len(parts) > 1 and "@" not in chunk:
            found.append("".join(parts)[:LONGEST])
    return found


def digits_of(reference: str) -> str:
    """The last number in it of three digits and more, without noughts before it: K-0047110/2 is 47110."""
    runs = _NUMBER.findall(reference)
    return runs[-1].lstrip("0") if runs else ""


def is_own(reference: str) -> bool:
    """Whether a reference of the past is that of a line of the desk's own orders: C-00012/1."""
    return bool(_OWN.fullmatch(reference))


def words_of(order: Order, lines: Iterable[OrderLine]) -> list[str]:
    """Its number, the customer's own for it, the quote's, the parts', the words of its lines, the town. People are found by themselves."""
    texts = [order.number, str(order.pk), order.their_number, order.town]
    if order.acceptance_id:
        texts += [order.acceptance.quote.number, str(order.acceptance.quote_id)]
    for line in lines:
        texts += [line.part_number, line.description]
    return sorted({word for text in texts for word in tokens(text)})
