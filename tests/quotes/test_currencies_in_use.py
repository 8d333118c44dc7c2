"""The list of currencies offers what is paid with today, and whatever the shop prices in already."""

import pytest

from quotes.forms.factory_answer import SameForm
from quotes.forms.prices import FreightForm
from quotes.forms.staff import ShopForm
from quotes.models import Shop
from sizing.prices import currencies, no_money


@pytest.mark.parametrize("code", ["USD", "CAD", "EUR", "JPY", "KWD", "XOF", "MXN"])
def test_offered(code):
    assert code in dict(currencies())


@pytest.mark.parametrize("code", ["DEM", "FRF", "USN", "CHE", "XAU", "XXX", "ZWN", "CSK"])
def test_not_offered(code):
    """Money that went, funds, metals and what is kept for tests."""
    assert code not in dict(currencies())


def test_each_has_a_name_and_there_are_few():
    """ISO 4217 has some 150 that countries pay with; its list of former ones is as long."""
    offered = currencies()
    assert 140 < len(offered) < 170
    assert all(words.startswith(f"{code}, ") and len(words) > 6 for code, words in offered)


def test_the_shops_own_stays():
    """A shop that prices in one that went finds it, chosen, and can save its page."""
    assert "DEM" in dict(currencies(also="DEM"))
    form = ShopForm(instance=Shop(currency="DEM"))
    assert '<option value="DEM" selected>DEM, German Mark</option>' in str(form["currency"])
    assert '"DEM"' not in str(ShopForm(instance=Shop(currency="USD"))["currency"])


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("USD", ""),
        # The tables know no country that pays in these, and no day on which one stopped.
        ("CNH", ""),
        ("DEM", "“DEM” has been no money since 2002; type what is paid in now, such as EUR."),
        ("FRF", "“FRF” has been no money since 2002; type what is paid in now, such as EUR."),
        ("XAU", "“XAU” is no currency of ISO 4217; type its three letters, such as USD."),
        ("EU", "“EU” is no currency of ISO 4217; type its three letters, such as USD."),
    ],
)
def test_typed(code, words):
    """Money that went is refused with what to type; what may be new is not."""
    assert no_money(code) == words


def test_typed_by_a_manager_and_a_factory():
    """Freight, margins and a factory's answer are in money that somebody pays with."""
    said = {"currency": "dem"}
    assert "no money since 2002" in str(FreightForm(said).errors["currency"])
    assert "no money since 2002" in str(SameForm(said).errors["currency"])
