"""A size between or beyond the rows goes to a special quote."""

import pytest

from tests.sizing.desk import ask_desk

CASES = {
    "between two rows": {"upper_glass": "24 5/8", "lower_glass": "24 5/8", "opening": "56 5/8"},
    "above the table": {"upper_glass": "49", "lower_glass": "49", "opening": "105 3/8"},
    "below the table": {"upper_glass": "11 1/4", "lower_glass": "11 1/4", "opening": "29 7/8"},
}


@pytest.mark.parametrize("measures", CASES.values(), ids=CASES.keys())
def test_measures_agree_on_a_size_that_is_not_there(measures):
    """Measures that agree with each other but with no row are off the table."""
    answer = ask_desk(**measures)
    assert (answer.outcome, answer.reason) == ("special", "off_table")
    assert "nearest is glass" in answer.text


def test_measures_that_agree_on_nothing():
    """Numbers that fit neither a row nor each other never end in a part."""
    answer = ask_desk(upper_glass="15", lower_glass="31", opening="96", long_point="40")
    assert answer.outcome == "special"


def test_nearest_row_is_named_however_far():
    """Far beyond the table the row named is the one at that end."""
    answer = ask_desk(upper_glass="52", lower_glass="52", opening="111 3/8")
    assert "nearest is glass 46 1/2" in answer.text
    answer = ask_desk(upper_glass="5", lower_glass="5", opening="17 3/8")
    assert "nearest is glass 13 1/4" in answer.text


@pytest.mark.parametrize("measures", CASES.values(), ids=CASES.keys())
def test_no_slip_is_found_where_no_size_fits(measures):
    """What belongs to no row stands apart from the nearest one; it is not called a slip."""
    readings = ask_desk(**measures).readings
    assert {r.verdict for r in readings} == {"misfit"}
    assert not any("slip" in r.words for r in readings)
