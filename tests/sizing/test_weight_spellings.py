"""A weight is read in pounds, pounds and ounces, kilograms or grams."""

from fractions import Fraction

import pytest

from sizing.weights import PER_KG, PER_OUNCE, PER_POUND, WeightUnit, parse_weight


@pytest.mark.parametrize("unit", WeightUnit)
@pytest.mark.parametrize(
    "text",
    [
        *("12 lb 4 oz", "12lb 4oz", "12 lbs. 4 ozs.", "12 LB, 4 OZ", "12 pounds and 4 ounces", "12# 4 oz"),
        *("12.25 lb", "12,25 lb", "12 1/4 lb", "12¼#", "12 and a quarter pounds", "196 oz", "１２ lb ４ oz"),
    ],
)  # fmt: skip
def test_pounds_and_ounces(text, unit):
    """Every spelling of twelve pounds four ounces is the same weight, whatever the family's unit."""
    assert parse_weight(text, unit) == 12 * PER_POUND + 4 * PER_OUNCE


@pytest.mark.parametrize("unit", WeightUnit)
@pytest.mark.parametrize(
    "text",
    [
        *("5.5 kg", "5,5 kg", "5.5kg", "5 kg 500 g", "5500 g", "5 1/2 kilos", "5½ kilograms", "5.5 kilogrammes"),
    ],
)  # fmt: skip
def test_kilograms_and_grams(text, unit):
    """Every spelling of five and a half kilograms is the same weight."""
    assert parse_weight(text, unit) * 2 == 11 * PER_KG


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("12", 12),
        ("12.5", "12.5"),
        ("12½", "12.5"),
        ("half", "0.5"),
        ("9.", 9),
        ("twenty-eight", 28),
    ],
)
def test_a_bare_number(text, number):
    """A number without a unit is in the family's own."""
    assert parse_weight(text, WeightUnit.POUND) == Fraction(number) * PER_POUND
    assert parse_weight(text, WeightUnit.KG) == Fraction(number) * PER_KG


def test_every_ounce_to_a_hundred_pounds():
    """Each ounce from 0 to 100 lb is read exactly, as pounds and ounces and as decimal pounds."""
    wrong = []
    for n in range(1, 1601):
        pounds, ounces = divmod(n, 16)
        for text in (f"{pounds} lb {ounces} oz", f"{n / 16} lb", f"{n} oz"):
            if parse_weight(text, WeightUnit.KG) != n * PER_OUNCE:
                wrong.append(text)
    assert wrong == []


@pytest.mark.parametrize(
    "text",
    ["187-168", "187 - 168", "187 lb - 168 lb", "187 – 168 lb", "187 lb - 168", "186.5 - 167 1/2"],
)
def test_a_scale_read_with_the_sash_and_without(text):
    """Who has weighed themselves with the sash and without it tells both; the sash is what lies between."""
    assert parse_weight(text, WeightUnit.POUND) == 19 * PER_POUND
