"""Rounding of sales tax, against published rules and a state's worked example.

Rule: Streamlined Sales and Use Tax Agreement sec. 324, as enacted in R.I. Gen. Laws 44-18.1-25,
N.D. Cent. Code 57-39.4-25 and Kan. Stat. 79-3676: carry to the third decimal, round up when it is
greater than four; on the invoice; the state and local tax may be rounded together.
Revenu Québec, "Calculating the taxes" (GST/HST and QST): in one step with 14.975 %, on the total of all goods,
a fraction of half a cent and more being a whole cent.
"""

from datetime import date
from decimal import Decimal

import pytest

from quotes.tax import Place, Rate, Tax, tax_for


def tax_on(amount, percent):
    return Tax(Decimal(percent), Decimal(0), "").on(Decimal(amount), Decimal(0), "USD")


def test_ohio_example():
    """Ohio Department of Taxation, Information Release ST 2005-05, example 1: 12.95 at 6.25 %."""
    assert tax_on("12.95", "6.25") == Decimal("0.81")


def test_quebec_example():
    """Revenu Québec: 100.00 comes to 114.98 with GST at 5 % and QST at 9.975 % in one step."""
    canada, quebec = Place("CA"), Place("CA", "QC")
    since = date(2013, 1, 1)
    rates = [Rate("GST", canada, Decimal(5), since), Rate("QST", quebec, Decimal("9.975"), since)]
    tax = tax_for(rates, quebec, date(2026, 6, 1))
    assert 100 + tax.on(Decimal(100), Decimal(0), "CAD") == Decimal("114.98")
    # The sum of both must not stand on the paper; each does.
    assert tax.words == "GST 5 % + QST 9.975 %"


# Products worked out by the rule of sec. 324; the percentage is chosen to give the product.
@pytest.mark.parametrize(
    ("product", "rounded"),
    [
        ("0.0049", "0.00"), ("0.0450", "0.05"), ("0.0550", "0.06"), ("0.781250", "0.78"),
        ("1.2349", "1.23"), ("1.2350", "1.24"),
    ],
)  # fmt: skip
def test_third_decimal_over_four_goes_up(product, rounded):
    """One rounding, decided by the third decimal alone: 1.2349 is 1.23, never 1.24 through 1.235."""
    assert tax_on(Decimal(product) * 100, "1") == Decimal(rounded)


def test_half_a_cent_is_not_rounded_to_even():
    """0.90 at 5 % is 0.045: up to 0.05."""
    assert tax_on("0.90", "5") == Decimal("0.05")


@pytest.mark.parametrize(
    ("count", "each", "percent", "by_item", "by_invoice"),
    [
        (3, "9.99", "8.25", "2.46", "2.47"),
        (5, "1.08", "7", "0.40", "0.38"),
        (5, "1.08", "6", "0.30", "0.32"),
    ],
)
def test_the_invoice_basis_differs_from_the_item_basis(count, each, percent, by_item, by_invoice):
    """Sec. 324 lets the seller choose; this desk rounds the invoice, once."""
    assert count * tax_on(each, percent) == Decimal(by_item)
    assert tax_on(count * Decimal(each), percent) == Decimal(by_invoice)
