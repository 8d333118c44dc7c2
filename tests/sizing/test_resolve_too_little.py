"""Where too little can be measured for one size, that is what is said: not that measures disagree."""

from dataclasses import replace

from fixtures.build import strip
from sizing.lengths import PER_MM, Length
from sizing.resolver import Opening, compile_table, resolve
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
    # 23 3/4 is nearer, 25 1/2 likelier, as glass is often measured short.
    assert "The likeliest is glass 25 1/2" in answer.text


def test_two_sizes_as_likely_are_both_named():
    """Half-way between two sizes that lie closer than a tape tells, neither is likelier."""
    rows = tuple((Length(mm * PER_MM),) for mm in (646, 640))
    close = replace(strip(), rows=rows, parts=())
    (answer,) = resolve(compile_table(close), [Opening({"length": Length(643 * PER_MM)})])
    assert (answer.outcome, answer.reason) == ("special", "low_certainty")
    assert "Two are about as likely: length 640 mm; and length 646 mm." in answer.text
