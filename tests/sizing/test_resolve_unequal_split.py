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


@pytest.mark.parametrize(
    ("measures", "code", "verdict", "apart"),
    [
        ({"opening": "54 7/8"}, "opening", "agrees", ""),
        ({"opening": "52 7/8"}, "opening", "misfit", "2 in short"),
        ({"opening": "59"}, "opening", "misfit", "4 1/8 in over"),
        ({"long_point": "53 3/8"}, "long_point", "misfit", "2 1/4 in short"),
        ({"opening": "54 7/8", "long_point": "55 5/8"}, "long_point", "agrees", ""),
    ],
)
def test_what_is_measured_beside_both_sashes_has_to_fit_them(measures, code, verdict, apart):
    """The opening and the old part are what both heights together make of them, by the table's relation."""
    answer = ask_desk(upper_glass="19", lower_glass="28 1/2", **measures)
    assert (answer.outcome, answer.reason) == ("special", "unequal_split")
    read = {reading.measure: reading for reading in answer.readings}
    assert (read[code].verdict, read[code].apart.removeprefix("about ")) == (verdict, apart)
    assert (apart in answer.text) if apart else ("reads" not in answer.text)
    assert read["upper_glass"].verdict == "unchecked"


def test_glass_without_what_the_stops_cover_shows_in_the_opening():
    """Who measures only the visible glass does so on both sashes: the opening is that much over."""
    answer = ask_desk(upper_glass="17 7/8", lower_glass="27 3/8", opening="54 7/8")
    (beside,) = (r for r in answer.readings if r.measure == "opening")
    assert (answer.reason, beside.verdict) == ("unequal_split", "slip")
    assert beside.cause == "only the visible glass is measured"


def test_a_height_worked_out_is_held_against_what_did_not_tell_it():
    """Of one sash the opening tells the other; the old part then has to fit both."""
    fits = ask_desk(upper_glass="19", opening="54 7/8", long_point="55 5/8")
    does_not = ask_desk(upper_glass="19", opening="54 7/8", long_point="52")
    verdicts = [{r.measure: r.verdict for r in a.readings} for a in (fits, does_not)]
    assert [v["long_point"] for v in verdicts] == ["agrees", "misfit"]
    assert [v["opening"] for v in verdicts] == ["unchecked", "unchecked"]
