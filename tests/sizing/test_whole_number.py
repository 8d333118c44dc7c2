"""Whole numbers as pages, addresses and files send them."""

import pytest

from sizing.numerals import whole_number, whole_numbers


@pytest.mark.parametrize(
    ("text", "number"), [("0", 0), ("7", 7), ("007", 7), ("9" * 18, 10**18 - 1)]
)
def test_a_whole_number(text, number):
    """Digits are a number, nought in front or not, up to the longest key."""
    assert whole_number(text) == number


@pytest.mark.parametrize(
    "text", ["", " 7", "-7", "+7", "7.0", "1_000", "٣", "²", "７", "1" * 19, "x"]
)
def test_no_whole_number(text):
    """Signs, points, spaces, other scripts' digits and what no key is as long as are none."""
    assert whole_number(text) is None


def test_of_so_many_digits():
    """A field that takes less says so."""
    assert (whole_number("999", 3), whole_number("1000", 3)) == (999, None)


def test_those_among_several():
    """Of several texts those that are numbers, in their order."""
    assert whole_numbers(["3", "", "x", "1"]) == [3, 1]
