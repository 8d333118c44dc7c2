"""What a price may look like: the minor units of its currency (ISO 4217) and a sane upper bound."""

from __future__ import annotations

import re
import string
import unicodedata
from decimal import Decimal
from functools import lru_cache

from babel.core import get_global
from babel.numbers import get_currency_symbol, get_territory_currencies
from moneyed import CURRENCIES, CurrencyDoesNotExist, get_currency

MOST_PRICE = Decimal(10_000_000)
# What an order comes to or was paid stays below this: more digits no column of an amount gives back.
MOST_TOTAL = Decimal(10_000_000_000)
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


# A number with what stands before or behind it; a comma parts thousands only where a point follows.
_AMOUNT = re.compile(r"(?P<before>[^\d.,+−-]*)(?P<number>\d[\d.,]*|\.\d+)(?P<behind>[^\d.,]*)")
_THOUSANDS = re.compile(r"\d{1,3}(,\d{3})+\.\d+")


def without_sign(text: str) -> tuple[str, str]:
    """A price as typed, such as $1,041.20 or 41.20 USD -> its number, and the sign or code of a currency beside it.

    The text itself, without a sign, where it is nothing of the kind.
    """
    found = _AMOUNT.fullmatch(text.strip())
    beside = (
        [part for part in (found["before"].strip(), found["behind"].strip()) if part]
        if found
        else []
    )
    if found is None or len(beside) > 1 or not all(map(_is_sign, beside)):
        return text, ""
    number = found["number"]
    plain = number.replace(",", "") if _THOUSANDS.fullmatch(number) else number
    return plain, beside[0].upper() if beside else ""


def _is_sign(text: str) -> bool:
    *letters, last = text
    named = unicodedata.category(last) == "Sc" and all(map(str.isalpha, letters))
    return named or is_currency(text.upper())


def is_sign_of(sign: str, code: str) -> bool:
    """Whether a price of that currency is written so: by its code, by its sign ($), or by both ($ of Canada: CA$)."""
    abroad = get_currency_symbol(code, "en_US")
    home = abroad.lstrip(string.ascii_letters)
    named = sign.endswith(home) and code.startswith(sign.removesuffix(home))
    return named or sign in (code, abroad)


def minor_units(code: str) -> int:
    """Decimals of a price in this currency: USD 2, JPY 0, KWD 3."""
    return len(str(get_currency(code).sub_unit)) - 1


def in_minor_units(amount: Decimal, code: str) -> Decimal:
    """The amount with exactly its currency's decimals; nothing is lost on a price that was checked."""
    return amount.quantize(Decimal(1).scaleb(-minor_units(code)))
