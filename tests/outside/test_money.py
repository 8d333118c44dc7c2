"""Decimals of currencies, against the published list."""

import pytest

from sizing.prices import minor_units

# ISO 4217 list one, dated 2026-01-01, as carried by the iso4217 package.
PUBLISHED = [
    ("USD", 2), ("CAD", 2), ("EUR", 2), ("GBP", 2), ("MXN", 2), ("HUF", 2), ("CZK", 2), ("TWD", 2),
    ("MRU", 2), ("IRR", 2), ("AFN", 2), ("JPY", 0), ("KRW", 0), ("CLP", 0), ("ISK", 0), ("VND", 0),
    ("KWD", 3), ("BHD", 3), ("TND", 3), ("IQD", 3), ("CLF", 4), ("UYW", 4),
]  # fmt: skip


@pytest.mark.parametrize(("currency", "digits"), PUBLISHED)
def test_minor_units_are_those_of_iso_4217(currency, digits):
    """Amounts round by ISO 4217, not by what a display library shows (IQD 3, IRR 2)."""
    assert minor_units(currency) == digits
