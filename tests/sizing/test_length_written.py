"""A length is written the way the trade writes it."""

import pytest

from sizing.lengths import Length, Unit, format_difference, format_length, parse_length


def inch(text: str) -> Length:
    return parse_length(text, Unit.INCH)


@pytest.mark.parametrize(
    ("text", "options", "written"),
    [
        ("33 5/8", {}, "33 5/8"),
        ("33.625", {"mark": True}, "33 5/8 in"),
        ("33", {"mark": True}, "33 in"),
        ("5/8", {}, "5/8"),
        ("33 10/64", {}, "33 5/32"),
        ("33 9/64", {}, "33 9/64"),
        ("854 mm", {}, "33 5/8"),
    ],
)
def test_inches(text, options, written):
    """Inches are a whole number and a reduced fraction."""
    assert format_length(inch(text), Unit.INCH, **options) == written


@pytest.mark.parametrize(
    ("text", "options", "written"),
    [
        ("854 mm", {}, "854"),
        ("854.5 mm", {"mark": True}, "854.5 mm"),
        ("33 5/8", {"mark": True}, "854.1 mm"),
        ("1200 mm", {}, "1200"),
        ("0.04 mm", {}, "0"),
    ],
)
def test_millimetres(text, options, written):
    """Millimetres have one place, left out when it is nothing."""
    assert format_length(inch(text), Unit.MM, **options) == written


def test_below_zero():
    """A shift below zero is written with its sign before everything."""
    assert format_length(Length(-inch("3/4")), Unit.INCH) == "-3/4"
    assert format_length(Length(-1), Unit.MM) == "0"


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("3/4", Unit.INCH, "about 3/4 in"),
        ("1.01", Unit.INCH, "about 1 in"),
        ("1 1/32", Unit.INCH, "about 1 in"),
        ("1 9/64", Unit.INCH, "about 1 1/8 in"),
        ("1/64", Unit.INCH, "under 1/16 in"),
        ("3/4", Unit.MM, "about 19 mm"),
        ("0.3 mm", Unit.MM, "under 1 mm"),
    ],
)
def test_differences(text, unit, words):
    """A difference is told to 1/16 in or 1 mm, without direction."""
    assert format_difference(inch(text), unit) == words
    assert format_difference(Length(-inch(text)), unit) == words


def test_no_difference():
    """Two equal lengths show no difference."""
    assert format_difference(Length(0), Unit.INCH) == "no difference"
