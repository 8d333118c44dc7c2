"""Which tax a place has on a day."""

from datetime import date
from decimal import Decimal

import pytest

from quotes.tax import Exemption, Place, Rate, tax_for

HOME = Place("US", "QX", "Larkford")
STATE = Rate("state", Place("US", "QX"), Decimal("5.5"), date(2026, 1, 1), on_freight=True)
TOWN = Rate("town", Place("US", "QX", "Larkford"), Decimal("1.25"), date(2026, 1, 1))
RAISED = Rate("state", Place("US", "QX"), Decimal("6"), date(2026, 7, 1))
RATES = [STATE, TOWN, RAISED]


@pytest.mark.parametrize(
    ("place", "on", "percent", "freight_percent"),
    [
        (HOME, date(2026, 6, 30), "6.75", "5.5"),
        (HOME, date(2026, 7, 1), "7.25", "0"),
        (Place("us", "qx", "LARKFORD"), date(2026, 6, 30), "6.75", "5.5"),
        (Place("US", "QX", "Elsewhere"), date(2026, 6, 30), "5.5", "5.5"),
    ],
)
def test_state_and_town_add_up_by_date(place, on, percent, freight_percent):
    """Every authority over a place counts, each with its newest rate by that day."""
    tax = tax_for(RATES, place, on)
    assert (tax.percent, tax.freight_percent) == (Decimal(percent), Decimal(freight_percent))


@pytest.mark.parametrize("place", [None, Place("CA", "QX"), Place("US", "ZZ")])
def test_a_place_without_rates_is_not_guessed(place):
    """No address or no rate: the tax is marked as not worked out."""
    tax = tax_for(RATES, place, date(2026, 6, 1))
    assert not tax.known
    assert "not worked out" in tax.words


def test_a_rate_not_yet_in_force_does_not_count():
    """Before the first rate's date there is none."""
    assert not tax_for(RATES, HOME, date(2025, 12, 31)).known


def test_an_exemption_holds_through_its_last_day():
    """Exempt on the day it expires, taxed the day after, and the words say so."""
    exemption = Exemption("QX-7781", date(2026, 6, 1))
    assert tax_for(RATES, HOME, date(2026, 6, 1), exemption).percent == 0
    after = tax_for(RATES, HOME, date(2026, 6, 2), exemption)
    assert after.percent == Decimal("6.75")
    assert "QX-7781 ended 1 June 2026" in after.words


def test_an_exemption_without_a_number_is_none():
    """A date alone exempts nobody."""
    assert tax_for(RATES, HOME, date(2026, 6, 1), Exemption("")).percent == Decimal("6.75")
