"""What a price may look like: the minor units of its currency (ISO 4217) and a sane upper bound."""

from __future__ import annotations

from decimal import Decimal

from moneyed import CurrencyDoesNotExist, get_currency

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


def minor_units(code: str) -> int:
    """Decimals of a price in this currency: USD 2, JPY 0, KWD 3."""
    return len(str(get_currency(code).sub_unit)) - 1


def in_minor_units(amount: Decimal, code: str) -> Decimal:
    """The amount with exactly its currency's decimals; nothing is lost on a price that was checked."""
    return amount.quantize(Decimal(1).scaleb(-minor_units(code)))
