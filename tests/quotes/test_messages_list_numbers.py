"""Bare numbers that begin lines and count up from 1 are the numbers of a list, not counts of windows."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

ONE = "glass 22 5/8, opening 53 1/4, 13 lb"
TWO = "glass 18 3/8, opening 44 1/2, 10 lb"


def _read(text, table="inch"):
    return read_message(text, TABLES[table])


def _counts(text, table="inch"):
    return [opening.quantity for opening in _read(text, table).openings]


@pytest.mark.parametrize(
    "text",
    [
        f"Pls quote 4 windows\n1 den left - {ONE}\n2 den right - {ONE}\n3 porch - {TWO}\n4 attic - {ONE}",
        f"1 den {ONE}\n2 porch {TWO}\n3 attic {ONE}\n4 loft {TWO}",
        f"4 windows\n1 {ONE}\n2 {TWO}\n3 {ONE}\n4 {TWO}",
        f"1 den\n{ONE}\n2 porch\n{TWO}\n3 attic\n{ONE}\n4 loft\n{TWO}",
        f"1 den - {ONE}\n2 porch - {TWO}\n3 attic - {ONE}\n4 loft - {TWO}\n\n4 windows in total",
    ],
)
def test_list_of_four(text):
    """Four lines are four windows, one of each, and nothing is in doubt."""
    assert _counts(text) == [1, 1, 1, 1]
    assert _read(text).unsure == ()


def test_list_in_millimetres():
    """Whole millimetres are measures as well as inches with a fraction."""
    line = "{} {} glass 570, opening 1350"
    text = "\n".join(line.format(n, room) for n, room in enumerate(("den", "porch", "attic"), 1))
    assert _counts(text, "mm") == [1, 1, 1]


def test_two_windows_named():
    """Two lines are a list where the message speaks of two windows."""
    assert _counts(f"Two windows please\n1 den - {ONE}\n2 porch - {TWO}") == [1, 1]


def test_two_lines_may_be_either():
    """One and two may as well be counts: neither is taken, the clerk is shown the number."""
    read = _read(f"1 den - {ONE}\n2 porch - {TWO}")
    assert [opening.quantity for opening in read.openings] == [1, 1]
    assert "2" in read.unsure


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        (f"2 den - {ONE}\n3 porch - {TWO}", [2, 3]),
        (f"2 den - {ONE}\n3 porch - {TWO}\n4 attic - {ONE}", [2, 3, 4]),
        (f"1 den - {ONE}\n2 porch - {TWO}\n1 attic - {ONE}", [1, 2, 1]),
        (f"6 windows\n1 den - {ONE}\n2 porch - {TWO}\n3 attic - {ONE}", [1, 2, 3]),
        (f"3 windows\n1 den - {ONE}\n2 porch - {TWO}", [1, 2]),
        (f"1 window den {ONE}\n2 windows porch {TWO}\n3 windows attic {ONE}", [1, 2, 3]),
        (f"1x den {ONE}\n2x porch {TWO}\n3x attic {ONE}", [1, 2, 3]),
    ],
)
def test_counts_stay_counts(text, counts):
    """Numbers that do not count up from 1, that add up to what was named, or that count a noun."""
    assert _counts(text) == counts


def test_counts_of_finishes_below_sizes():
    """Lines without sizes of their own say how many of which finish."""
    read = _read(f"{ONE}\n1 in ash\n2 in slate\n3 in chalk")
    assert [(o.quantity, o.finish) for o in read.openings] == [(1, "ash"), (2, "slate"), (3, "chalk")]  # fmt: skip


@pytest.mark.parametrize("mark", ["{} - ", "{}) ", "({}) ", "{}. "])
def test_a_mark_that_counts_nothing_up_is_shown_to_the_clerk(mark):
    """Ten of one and four of another are no items of a list: nobody has said so, and fourteen windows are not two."""
    lines = [mark.format(10) + ONE, mark.format(4) + TWO]
    read = _read("\n".join(lines))
    told = [str(opening.quantity) for opening in read.openings] + [str(w) for w in read.unsure]
    assert len(read.openings) == 2 and {"10", "4"} <= set(told)
    assert "10" in {str(words) for words in _read(lines[0]).unsure}


@pytest.mark.parametrize("first", [1, 3])
def test_marks_that_count_up_are_a_list(first):
    """From 1, or going on with a list begun before."""
    lines = [f"{first + n}) {ONE}" for n in range(3)]
    assert _read("\n".join(lines)).unsure == ()
