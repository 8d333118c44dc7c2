"""What a price may look like: the minor units of its currency (ISO 4217) and a sane upper bound."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from babel.core import get_global
from babel.numbers import get_territory_currencies
from moneyed import CURRENCIES, CurrencyDoesNotExist, get_currency

MOST_PRICE = Decimal(10_000_000)
# Codes of ISO 4217 that are no money anybody pays with: metals, funds, testing, no currency.
_NOT_PAID_IN = frozenset({"XAU", "XAG", "XPT", "XPD", "XTS", "XXX", "XDR", "XSU", "XUA"})


def is_currency(code: str) -> bool:
    """Whether `code` is a currency of ISO 4217 that a price can be in."""
    try:
        get_currency(code)
    except CurrencyDoesNotExist:
        return False
    return code not in _NOT_PAID_IN and not code.startswith("XB")


def no_money(code: str) -> str:
    """One sentence on a typed code that nobody pays in, what to type instead; nothing of one that is in use."""
    if not is_currency(code):
        return f"“{code}” is no currency of ISO 4217; type its three letters, such as USD."
    gone = _gone().get(code)
    if gone is None:
        return ""
    year, instead = gone
    return f"“{code}” has been no money since {year}; type what is paid in now, such as {instead}."


@lru_cache(maxsize=1)
def _gone() -> dict[str, tuple[int, str]]:
    """{code: the year in which the last country gave it up, what is paid with there now}, by the same tables as
    `_in_use`. What they know no end of is not gone: they are late with new money, and hold no funds."""
    last: dict[str, tuple[tuple[int, int, int], str]] = {}
    still = set()
    for territory, rows in get_global("territory_currencies").items():
        for code, _begun, end, _tender in rows:
            if end is None:
                still.add(code)
            else:
                last[code] = max(last.get(code, ((0, 0, 0), "")), (end, territory))
    return {
        code: (end[0], next(iter(get_territory_currencies(territory)), "USD"))
        for code, (end, territory) in last.items()
        if code not in still
    }


@lru_cache(maxsize=1)
def _in_use() -> frozenset[str]:
    """What some country pays with today, by the Unicode tables of currencies and countries that Babel carries."""
    paid = {
        code
        for territory in get_global("territory_currencies")
        for code in get_territory_currencies(territory)
    }
    return frozenset(code for code in paid if is_currency(code))


def currencies(also: str = "") -> list[tuple[str, str]]:
    """(ISO 4217 code, “USD, US Dollar”) of the currencies in use, by code; `also` one that somebody has already."""
    codes = _in_use() | ({also} if is_currency(also) else set())
    return [(code, f"{code}, {CURRENCIES[code].name}") for code in sorted(codes)]


def minor_units(code: str) -> int:
    """Decimals of a price in this currency: USD 2, JPY 0, KWD 3."""
    return len(str(get_currency(code).sub_unit)) - 1


def in_minor_units(amount: Decimal, code: str) -> Decimal:
    """The amount with exactly its currency's decimals; nothing is lost on a price that was checked."""
    return amount.quantize(Decimal(1).scaleb(-minor_units(code)))
