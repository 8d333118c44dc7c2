"""The one whole number that a few words say."""

from __future__ import annotations

from quotes.messages.amounts import amounts
from quotes.messages.scan import plain, tokens


def whole_number(words: str) -> int | None:
    """2 for "2", "two" or "qty 2"; None if they say no whole number, or more than one number."""
    said = amounts(tokens(plain(words), []), frozenset())
    whole = [amount for amount in said if amount.kind == "integer"]
    return whole[0].whole if len(said) == len(whole) == 1 else None
