"""A value that was read stands in its box as a clerk would type it, and reads back as the same."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotes.pasted.opening import written
from sizing.lengths import Length, parse_length, to_decimal
from tests.quotes.message_sets import TABLES

INCH, MM = TABLES["inch"], TABLES["mm"]


def measure(table, kind):
    return next(m for m in table.measures if m.kind == kind)


@pytest.mark.parametrize(
    ("table", "kind", "value", "words"),
    [
        (INCH, "length", "17.375", "17 3/8"),
        (INCH, "length", "20.23622", "514 mm"),
        (INCH, "length", "20.3", "20.3"),
        (MM, "length", "441", "441"),
        (MM, "length", "441.325", "17 3/8 in"),
        (INCH, "weight", "9.5", "9.5 lb"),
        (INCH, "weight", "9.259415011765", "4.2 kg"),
        (MM, "weight", "4.2", "4.2 kg"),
    ],
)
def test_written(table, kind, value, words):
    """On the family's ruler plainly; what is exact only in the other unit, in that unit."""
    assert written(Decimal(value), measure(table, kind), table) == words


@pytest.mark.parametrize("table", [INCH, MM], ids=["inch", "mm"])
@given(length=st.integers(3200, 3_200_000))
def test_reads_back(table, length):
    """Whatever the length, its words are read as that very length."""
    value = to_decimal(Length(length), table.unit)
    assert parse_length(written(value, measure(table, "length"), table), table.unit) == length
