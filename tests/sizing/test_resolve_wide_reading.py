"""Where no usual slip explains a reading some way off, it is not said to agree plainly: the tape was half an inch off."""

import pytest

from tests.sizing.desk import ask_desk

AT_18_1_2 = {"lower_glass": "18 1/2", "opening": "44 3/8"}


@pytest.mark.parametrize(
    ("upper", "words"),
    [
        ("18 1/2", "agrees"),
        ("18 7/8", "agrees"),  # three reading errors, as far as counts as the row's own size
        ("18 15/16", "about 7/16 in over, taken as a reading error"),
        ("19", "about 1/2 in over, taken as a reading error"),
    ],
)
def test_beside_its_row(upper, words):
    """The answer is that row's, and the words say how far off the reading is."""
    answer = ask_desk("liner", upper_glass=upper, **AT_18_1_2)
    assert answer.row is not None
    reading = answer.readings[0]
    assert (reading.verdict, reading.words) == ("agrees", words)


def test_beside_the_nearest_size_of_one_off_the_table():
    """Glass half an inch over the nearest size is a reason for the special, and does not agree with that size."""
    answer = ask_desk(
        "liner", "ash", upper_glass="19", lower_glass="19", opening="45 3/8", sash_weight="11"
    )
    assert (answer.outcome, answer.reason) == ("special", "off_table")
    assert [r.words for r in answer.readings] == [
        "about 1/2 in over the nearest size",
        "about 1/2 in over the nearest size",
        "about 1 in over the nearest size",
    ]
