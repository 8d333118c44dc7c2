"""Units against the published definitions and against pint.

Sources: 16 CFR 500.19 (inch, foot, yard exact; pound 0.453592 kg to six digits); the exact pound
0.45359237 kg is the international agreement of 1959 (NIST SP 811 App. B and Handbook 44 App. C, from
memory). Reference for every conversion: pint 0.25.3 with decimal numbers.
"""

from decimal import Decimal
from fractions import Fraction
from functools import cache

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.lengths import (
    LONGEST,
    PER_INCH,
    PER_MM,
    Length,
    Unit,
    from_number,
    parse_length,
    to_decimal,
    to_fraction,
)
from sizing.weights import (
    HEAVIEST,
    PER_KG,
    PER_OUNCE,
    PER_POUND,
    Weight,
    WeightUnit,
    parse_weight,
)
from sizing.weights import to_decimal as weight_to_decimal


@cache
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry(non_int_type=Decimal)


def converted(number: str | int | Decimal, unit: str, to: str) -> Fraction:
    return Fraction(registry().Quantity(Decimal(number), unit).to(to).magnitude)


@pytest.mark.parametrize(
    ("counts", "per", "published"),
    [
        (PER_INCH, PER_MM * 10, "2.54"),  # inch in cm
        (12 * PER_INCH, PER_MM * 10, "30.48"),  # foot in cm
        (36 * PER_INCH, PER_MM * 1000, "0.9144"),  # yard in m
        (PER_INCH**2, (PER_MM * 10) ** 2, "6.4516"),  # square inch in cm2
        ((12 * PER_INCH) ** 2, (PER_MM * 10) ** 2, "929.0304"),  # square foot in cm2
    ],
)
def test_lengths_of_the_code_of_federal_regulations(counts, per, published):
    """The inch, foot, yard, square inch and square foot are those of 16 CFR 500.19, exactly."""
    assert Fraction(counts, per) == Fraction(published)


def test_the_pound():
    """The pound is 0.453592 kg to six digits (16 CFR 500.19), 0.45359237 kg exactly (from memory)."""
    pound = Fraction(PER_POUND, PER_KG)
    assert round(pound, 6) == Fraction("0.453592")
    assert pound == Fraction("0.45359237")
    assert PER_POUND == 16 * PER_OUNCE


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        *(("5 ft", "foot", 5), ("7 in", "inch", 7), ("19 mm", "millimeter", 19)),
        *(("33.625 in", "inch", "33.625"), ("85.4 cm", "centimeter", "85.4"), ("0.854 m", "meter", "0.854")),
    ],
)  # fmt: skip
def test_each_length_unit_against_pint(text, unit, number):
    """Every length unit the parser takes is pint's, in millimetres and in inches."""
    length = parse_length(text, Unit.INCH)
    assert to_fraction(length, Unit.MM) == converted(number, unit, "millimeter")
    assert to_fraction(length, Unit.INCH) == pytest.approx(
        converted(number, unit, "inch"), abs=1e-20
    )


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("12.25 lb", "pound", "12.25"),
        ("9 oz", "ounce", 9),
        ("5.5 kg", "kilogram", "5.5"),
        ("850 g", "gram", 850),
    ],
)
def test_each_weight_unit_against_pint(text, unit, number):
    """Every weight unit the parser takes is pint's, to the nanogram."""
    grams = Fraction(parse_weight(text, WeightUnit.POUND), PER_KG // 1000)
    assert grams == converted(number, unit, "gram")


@given(st.integers(1, LONGEST).map(Length))
def test_any_length_against_pint(length):
    """Any length in inches is what pint makes of its millimetres, to half a unit of the sixth place."""
    inches = converted(to_decimal(length, Unit.MM), "millimeter", "inch")
    assert abs(Fraction(to_decimal(length, Unit.INCH)) - inches) <= Fraction(1, 2_000_000)


@given(st.integers(1, HEAVIEST).map(Weight))
def test_any_weight_against_pint(weight):
    """Any weight in pounds is what pint makes of its kilograms, to half a unit of the twelfth place."""
    pounds = converted(weight_to_decimal(weight, WeightUnit.KG), "kilogram", "pound")
    error = abs(Fraction(weight_to_decimal(weight, WeightUnit.POUND)) - pounds)
    assert error <= Fraction(1, 2 * 10**12) + Fraction(1, 10**20)


@pytest.mark.parametrize(
    ("inches", "mm"),
    [("1/64", "0.396875"), ("1/32", "0.79375"), ("1/16", "1.5875"), ("33 5/8", "854.075")],
)
def test_fractions_of_an_inch(inches, mm):
    """Fractions of an inch in millimetres are exact (computed with pint 0.25.3)."""
    assert to_fraction(parse_length(inches, Unit.INCH), Unit.MM) == Fraction(mm)
    assert from_number(Decimal(mm), Unit.MM) == parse_length(inches, Unit.INCH)
