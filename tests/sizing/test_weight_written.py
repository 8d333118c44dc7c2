"""A weight is written in the desk's unit and read from numbers exactly."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.weights import (
    HEAVIEST,
    PER_OUNCE,
    PER_POUND,
    Weight,
    WeightError,
    WeightUnit,
    format_weight,
    from_number,
    parse_weight,
    to_decimal,
)

LB, KG = WeightUnit.POUND, WeightUnit.KG


@pytest.mark.parametrize(
    ("text", "unit", "options", "written"),
    [
        ("12 lb", LB, {}, "12 lb"),
        ("12 lb 4 oz", LB, {}, "12.2 lb"),
        ("12 lb 4 oz", LB, {"places": 2}, "12.25 lb"),
        ("12.35 lb", LB, {}, "12.4 lb"),
        ("5.5 kg", KG, {"mark": False}, "5.5"),
        ("100 lb", LB, {}, "100 lb"),
        ("12 lb", KG, {}, "5.4 kg"),
        ("1 oz", KG, {"places": 0}, "0 kg"),
    ],
)
def test_written(text, unit, options, written):
    """One place unless more is asked for, ties to even, no needless zeros."""
    assert format_weight(parse_weight(text, unit), unit, **options) == written


def test_no_minus_nothing():
    """A weight just below zero that rounds to nothing has no sign."""
    assert format_weight(Weight(-1), LB) == "0 lb"


@given(st.integers(-HEAVIEST, HEAVIEST), st.sampled_from(WeightUnit))
def test_decimals(count, unit):
    """The decimal of any weight gives it back."""
    assert from_number(to_decimal(Weight(count), unit), unit) == count


@pytest.mark.parametrize(
    ("value", "unit", "weight"),
    [
        (0.5, LB, PER_POUND // 2),
        (Fraction(1, 16), LB, PER_OUNCE),
        (-1, LB, -PER_POUND),
        (Decimal("0.45359237"), KG, PER_POUND),
    ],
)
def test_numbers(value, unit, weight):
    """Floats, decimals and fractions are read to the nearest nanogram."""
    assert from_number(value, unit) == weight


@pytest.mark.parametrize("value", [float("nan"), float("inf"), Decimal("NaN")])
def test_not_finite(value):
    """What is not finite is no weight."""
    with pytest.raises(WeightError, match=r"is no weight: give a plain number of lb\.$"):
        from_number(value, LB)


@pytest.mark.parametrize("value", [501, -501, 1e300])
def test_over_the_limit(value):
    """More than 500 kg, either way, is refused."""
    with pytest.raises(WeightError, match=r"kg is over 500 kg: give a lighter weight\.$"):
        from_number(value, KG)
