"""Where too little can be measured for one size, that is what is said: not that measures disagree."""

from tests.sizing.desk import ask_desk


def test_nothing_can_be_measured():
    """Without a single measure no size is named, not even as the nearest."""
    answer = ask_desk("strip", length=None)
    assert (answer.outcome, answer.reason) == ("special", "low_certainty")
    assert answer.text == "Special quote: nothing of it can be measured, so no size can be named."


def test_one_measure_alone_does_not_disagree():
    """One number between two rows that nothing can check leaves the likeliest row named as such."""
    nobody = dict.fromkeys(("lower_glass", "opening", "long_point"))
    answer = ask_desk(upper_glass="24 1/2", **nobody)
    assert (answer.outcome, answer.reason) == ("special", "low_certainty")
    assert "do not agree" not in answer.text
