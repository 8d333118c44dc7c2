"""A number from a workbook or a request becomes an exact length."""

from decimal import Decimal
from fractions import Fraction

import pytest

from sizing.lengths import LengthError, Unit, from_number, to_decimal, to_fraction


@pytest.mark.parametrize(
    ("value", "unit", "counts"),
    [
        (33.625, Unit.INCH, 273304),
        (33, Unit.INCH, 268224),
        (Decimal("33.625"), Unit.INCH, 273304),
        (Fraction(269, 8), Unit.INCH, 273304),
        (-0.75, Unit.INCH, -6096),
        (0, Unit.INCH, 0),
        (17.1, Unit.INCH, 138989),  # 138 988.8: the nearest count
        (854.1, Unit.MM, 273312),  # a float is not quite 854.1, its length is
        (Decimal("0.003125"), Unit.MM, 1),
    ],
)
def test_numbers(value, unit, counts):
    """Whole numbers, decimals, fractions and floats are read to the nearest 1/320 mm, below zero too."""
    assert from_number(value, unit) == counts


@pytest.mark.parametrize(
    "value",
    [float("nan"), float("inf"), float("-inf"), Decimal("NaN"), Decimal("sNaN"), Decimal("Infinity")],
)  # fmt: skip
def test_not_finite(value):
    """What is not finite is no length."""
    with pytest.raises(LengthError, match=r"is no length: give a plain number of in\.$"):
        from_number(value, Unit.INCH)


@pytest.mark.parametrize("value", [10_001, -10_001, 1e300, Decimal("1e6")])
def test_over_ten_metres(value):
    """More than ten metres, either way, is refused."""
    with pytest.raises(LengthError, match=r"mm is over 10 m: give a shorter length\.$"):
        from_number(value, Unit.MM)


@pytest.mark.parametrize("value", [435, 435.5, Decimal("9999.5"), Fraction(394)])
def test_what_millimetres_would_be(value):
    """A number too long for inches and usual as millimetres is asked about."""
    with pytest.raises(LengthError, match=f"shorter length, or {value} mm if it is millimetres"):
        from_number(value, Unit.INCH)


def test_too_long_in_both():
    with pytest.raises(LengthError, match=r"is over 10 m: give a shorter length\.$"):
        from_number(10_001, Unit.INCH)


@pytest.mark.parametrize(
    ("value", "unit", "digits"),
    [
        ("33.625", Unit.INCH, "33.625"),
        ("0.015625", Unit.INCH, "0.015625"),
        ("120", Unit.INCH, "120"),
        ("-0.75", Unit.INCH, "-0.75"),
        ("0", Unit.INCH, "0"),
        ("854.1", Unit.MM, "854.1"),
        ("0.003125", Unit.MM, "0.003125"),
        ("1200", Unit.MM, "1200"),
    ],
)
def test_written_as_a_decimal(value, unit, digits):
    """The decimal has no needless zeros and no exponent."""
    assert str(to_decimal(from_number(Decimal(value), unit), unit)) == digits


def test_the_fraction_is_exact():
    """An inch length in millimetres is exact: 33 5/8 in is 854.075 mm."""
    length = from_number(Decimal("33.625"), Unit.INCH)
    assert to_fraction(length, Unit.MM) == Fraction("854.075")
