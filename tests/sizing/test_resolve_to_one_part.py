"""Measures that fit one row end with that row's one part."""

import pytest

from tests.sizing.desk import ask_desk

# Row 7 of the liner: glass 23 3/4, opening 54 7/8, long point 55 5/8; 10 lb is light there.
CASES = {
    "glass and opening": {"upper_glass": "23 3/4", "opening": "54 7/8"},
    "both sashes": {"upper_glass": "23 3/4", "lower_glass": "23 3/4"},
    "the old part and a glass": {"long_point": "55 5/8", "lower_glass": "23 3/4"},
    "everything": {
        "upper_glass": "23 3/4",
        "lower_glass": "23 3/4",
        "opening": "54 7/8",
        "long_point": "55 5/8",
    },
    "glass of neither sash": {"glass": "23 3/4", "opening": "54 7/8"},
    "in millimetres": {"upper_glass": "603 mm", "opening": "1394 mm"},
    "an eighth out each": {"upper_glass": "23 5/8", "opening": "55", "long_point": "55 1/2"},
}


@pytest.mark.parametrize("measures", CASES.values(), ids=CASES.keys())
def test_any_two_that_agree_decide(measures):
    """Any subset that pins the size down gives the same part, forwards and backwards."""
    answer = ask_desk(finish="ash", sash_weight="10 lb", **measures)
    assert (answer.outcome, answer.reason) == ("part", "equal_split")
    assert answer.part.part_number == "OHL-07LA"
    assert answer.certainty > 0.97


@pytest.mark.parametrize("height", ["390", "738", "1260"])
def test_family_of_one_measure_decides_by_it(height):
    """A family without two sashes needs no split to be ruled out."""
    answer = ask_desk("balance", sash_height=height, channel=str(int(height) - 47), sash_weight="4")
    assert (answer.outcome, answer.reason) == ("part", "in_table")
    assert answer.part.part_number == f"GHB-{height}-2" if height == "390" else answer.part


def test_strip_by_length():
    """The weatherstrip has one column, no weight and two finishes."""
    answer = ask_desk("strip", length="710", finish="chalk")
    assert answer.part.part_number == "GHW-02C"
