"""An unequal split is computed from the two heights and goes to a special quote."""

import pytest

from sizing.lengths import Unit, format_length
from tests.sizing.desk import ask_desk


@pytest.mark.parametrize(
    ("upper", "lower", "kind", "ratio"),
    [("19", "28 1/2", "cottage", "40/60"), ("28 1/2", "19", "oriel", "60/40")],
)
def test_named_from_the_heights(upper, lower, kind, ratio):
    """Upper shorter is cottage, upper taller is oriel; swapping the heights swaps the names."""
    answer = ask_desk(upper_glass=upper, lower_glass=lower, opening="54 7/8")
    assert (answer.outcome, answer.reason) == ("special", "unequal_split")
    assert answer.split.kind == kind
    assert kind in answer.text and ratio in answer.text
    assert answer.part is None and answer.row is None


def test_missing_height_is_worked_out():
    """One glass and the opening give the other glass by the table's own relation."""
    answer = ask_desk(upper_glass="19", opening="54 7/8")
    assert (answer.outcome, answer.reason) == ("special", "unequal_split")
    assert format_length(answer.split.lower, Unit.INCH) == "28 1/2"


def test_equal_split_within_the_reading_error():
    """Heights an eighth apart are an equal split, whatever the caller calls it."""
    answer = ask_desk(upper_glass="23 5/8", lower_glass="23 3/4", opening="54 7/8")
    assert answer.split.kind == "equal"


def test_one_height_too_little_to_call_it_equal():
    """A single glass height leaves the split open, so it is asked about, not assumed."""
    answer = ask_desk(upper_glass="23 3/4")
    assert answer.outcome == "ask"
    assert 0.01 < answer.shares[1] < 0.5


def test_cautions_come_with_the_split():
    """A changed split can change the way out and the safety glazing: both are said."""
    answer = ask_desk(upper_glass="19", lower_glass="28 1/2", opening="54 7/8")
    assert {"egress", "safety_glazing"} <= set(answer.cautions)
