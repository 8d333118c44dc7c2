"""A size between or beyond the rows goes to a special quote."""

import pytest

from tests.sizing.desk import ask_desk

CASES = {
    "between two rows": {"upper_glass": "24 1/2", "lower_glass": "24 1/2", "opening": "56 3/8"},
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


TIES = {
    "half-way in every measure": (
        ("liner", {"upper_glass": "24 5/8", "lower_glass": "24 5/8", "opening": "56 5/8"}),
        "Two are as near: glass 23 3/4, opening 54 7/8, long point 55 5/8 in; and glass 25 1/2, opening 58 3/8, "
        "long point 59 1/8 in.",
    ),
    "of one measure": (
        ("strip", {"length": "675"}),
        "Two are as near: length 640 mm; and length 710 mm.",
    ),
}


@pytest.mark.parametrize(("said", "words"), TIES.values(), ids=TIES.keys())
def test_two_sizes_as_near_are_both_named(said, words):
    """Half-way between two sizes neither is said to be the nearest one."""
    name, measures = said
    answer = ask_desk(name, **measures)
    assert (answer.outcome, answer.reason) == ("special", "off_table")
    assert answer.text.endswith(words)


def test_a_sixteenth_past_half_way_is_no_tie():
    """The numbers as they were said decide: the size that is nearer by anything is the nearest."""
    answer = ask_desk(upper_glass="24 11/16", lower_glass="24 11/16", opening="56 3/4")
    assert "The nearest is glass 25 1/2" in answer.text


def test_of_more_sizes_as_near_the_ends_are_named():
    """Where two measures speak for sizes far apart, each size between them is as near."""
    answer = ask_desk(opening="35 5/8", long_point="46 7/8", upper_glass=None, lower_glass=None)
    assert answer.text.endswith(
        "3 are as near, from glass 15, opening 37 3/8, long point 38 1/8 in to glass 18 1/2, opening 44 3/8, "
        "long point 45 1/8 in."
    )
