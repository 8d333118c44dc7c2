"""What the desk writes, it reads back as the very same length."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.lengths import (
    LONGEST,
    PER_INCH,
    Length,
    Unit,
    format_length,
    from_number,
    parse_length,
    to_decimal,
    to_fraction,
)

THIRTY_SECONDS = range(1, 120 * 32 + 1)
TENTHS_OF_MM = range(1, 3000 * 10 + 1)


def _mixed(thirty_seconds: int) -> tuple[int, Fraction]:
    whole, rest = divmod(thirty_seconds, 32)
    return whole, Fraction(rest, 32)


def _spell(n: int, style: str) -> str:
    """n/32 in, spelled without the product's own formatting."""
    whole, part = _mixed(n)
    feet, inches = divmod(whole, 12)
    if style == "feet":
        return f"{feet}' {inches} {part}\"" if part else f"{feet}' {inches}\""
    if style == "feet with dashes":
        return f"{feet}'-{inches}-{part}\"" if part else f"{feet}'-{inches}\""
    if style == "unreduced":
        return f"{whole} {n % 32}/32 in" if part else f"{whole} in"
    if style == "decimal":
        return str(whole + float(part))
    return f"{whole}-{part}″".replace("/", "⁄") if part else f"{whole}″"


@pytest.mark.parametrize("style", ["feet", "feet with dashes", "unreduced", "decimal", "primes"])
def test_every_thirty_second_to_ten_feet(style):
    """Each 1/32 in from 0 to 120 in is read exactly in this spelling, in either kind of family."""
    units = [Unit.INCH] if style == "decimal" else list(Unit)
    wrong = [
        (n, unit)
        for n in THIRTY_SECONDS
        for unit in units
        if parse_length(_spell(n, style), unit) * 32 != n * PER_INCH
    ]
    assert wrong == []


def test_every_thirty_second_written_back():
    """Each 1/32 in is written so that reading it gives the same length."""
    lengths = [Length(n * PER_INCH // 32) for n in THIRTY_SECONDS]
    texts = [format_length(length, Unit.INCH, mark=True) for length in lengths]
    assert [parse_length(text, Unit.MM) for text in texts] == lengths
    assert len(set(texts)) == len(lengths)


@pytest.mark.parametrize(("divisor", "mark"), [(10, ""), (10, " mm"), (100, " cm"), (10_000, " m")])
def test_every_tenth_of_a_millimetre_to_three_metres(divisor, mark):
    """Each 0.1 mm from 0 to 3 m is read exactly, with point and with comma."""
    places = len(str(divisor)) - 1
    wrong = []
    for n in TENTHS_OF_MM:
        text = f"{n // divisor}.{n % divisor:0{places}d}{mark}"
        if parse_length(text, Unit.MM) != 32 * n:
            wrong.append(text)
    assert wrong == []


def test_every_tenth_of_a_millimetre_written_back():
    """Each 0.1 mm is written so that reading it gives the same length."""
    lengths = [Length(32 * n) for n in TENTHS_OF_MM]
    texts = [format_length(length, Unit.MM, mark=True) for length in lengths]
    assert [parse_length(text, Unit.INCH) for text in texts] == lengths


@given(st.integers(-LONGEST, LONGEST), st.sampled_from(Unit))
def test_numbers_of_any_length(counts, unit):
    """The fraction and the decimal of any length give it back."""
    length = Length(counts)
    assert from_number(to_fraction(length, unit), unit) == length
    assert from_number(to_decimal(length, unit), unit) == length
