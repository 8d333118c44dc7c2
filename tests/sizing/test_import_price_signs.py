"""A price list is typed with the sign of its currency: read where that is the table's, told in a sentence where not."""

from decimal import Decimal

import pytest

from sizing.workbook import WorkbookError, read_workbook
from tests.sizing.sheets import workbook


def priced(text, currency="USD"):
    def spoil(sheets):
        sheets["Parts"][1][-1] = text
        for row in sheets["Family"]:
            if row[0] == "currency":
                row[1] = currency

    return read_workbook(workbook(spoil))


@pytest.mark.parametrize(
    ("text", "currency", "price"),
    [
        ("$41.20", "USD", "41.20"),
        ("$ 1,041.20", "USD", "1041.20"),
        ("41.20 USD", "USD", "41.20"),
        ("usd 41", "USD", "41"),
        ("US$41", "USD", "41"),
        ("$41.20", "CAD", "41.20"),
        ("CA$41.20", "CAD", "41.20"),
        ("41.20 €", "EUR", "41.20"),
        ("£41.20", "GBP", "41.20"),
        ("1,041.20", "USD", "1041.20"),
    ],
)
def test_its_own_sign(text, currency, price):
    """Before the number or behind it, as a sign, a code or both."""
    table, _ = priced(text, currency)
    assert table.parts[0].price == Decimal(price)


@pytest.mark.parametrize(
    ("text", "currency"),
    [
        ("€41.20", "USD"),
        ("$41.20", "EUR"),
        ("CA$41.20", "USD"),
        ("41.20 CAD", "USD"),
        ("£4", "EUR"),
    ],
)
def test_the_sign_of_another(text, currency):
    """Nothing is taken for money of another country; the sentence says what the workbook said before."""
    with pytest.raises(WorkbookError) as error:
        priced(text, currency)
    (said,) = error.value.problems
    assert f"“{text}” is not in {currency}, as sheet Family says" in said
    assert said.startswith("sheet Parts, cell ")


@pytest.mark.parametrize(
    "text", ["$41,20", "$1,04.20", "-$41.20", "$-41.20", "41.20 each", "$", "$$4", "$4 USD"]
)
def test_what_is_no_price_with_a_sign(text):
    """A comma that may be a point, a sign twice, words: refused as before."""
    with pytest.raises(WorkbookError) as error:
        priced(text)
    assert "is no number" in error.value.problems[0]


def test_a_sign_does_not_lift_the_limits():
    """Decimals, the upper bound: as of a plain number."""
    with pytest.raises(WorkbookError, match="has more than the 2 decimals of USD"):
        priced("$41.205")
    with pytest.raises(WorkbookError, match="too large"):
        priced("$10000000")
