"""A whole number, its fraction and its unit stay on one line: half of 20 1/4 in the next is another size."""

import pytest

from sizing.lengths import Unit, format_length, parse_length, unbroken
from sizing.weights import WeightUnit, parse_weight


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("glass 20 1/4, opening 47 7/8 in", "glass 20_1/4, opening 47_7/8_in"),
        ("2' 9 5/8\"", "2' 9_5/8\""),
        ("0 1/2", "0_1/2"),
        ("12 lb 4 oz; 16 over 24 in (40/60)", "12_lb 4_oz; 16 over 24_in (40/60)"),
        ("13 kg, 854.1 mm", "13_kg, 854.1_mm"),
        ("5 inside, 3 lbs", "5 inside, 3_lbs"),
        ("pairs 2 3 1/2", "pairs 2 3_1/2"),
        ("", ""),
    ],
)
def test_held_together(text, held):
    assert unbroken(text) == held.replace("_", "\u00a0")


def test_reads_back_as_it_was():
    """What somebody copies off a page and types in again is the same length."""
    length = parse_length("47 7/8", Unit.INCH)
    for mark in (False, True):
        assert parse_length(unbroken(format_length(length, Unit.INCH, mark)), Unit.INCH) == length
    assert parse_weight(unbroken("13 lb 4 oz"), WeightUnit.KG) == parse_weight(
        "13 lb 4 oz", WeightUnit.KG
    )
