"""A day that a message names is noticed; it is a day of the calendar only where it can be no other."""

from datetime import date

import pytest

from quotes.messages.days import named_days, the_day

TODAY = date(2026, 11, 27)  # a Friday
CERTAIN = (
    ("Needed by 12/12, thanks", "Needed by 12/12", date(2026, 12, 12)),
    ("we need them before Dec 12", "need them before Dec 12", date(2026, 12, 12)),
    ("by December 12th, 2026 please", "by December 12th, 2026", date(2026, 12, 12)),
    ("no later than the job: by 12 January", "by 12 January", date(2027, 1, 12)),
    ("due 2026-12-14", "due 2026-12-14", date(2026, 12, 14)),
    ("by Saturday, Dec 12", "by Saturday, Dec 12", date(2026, 12, 12)),
    ("before 12/25", "before 12/25", date(2026, 12, 25)),
    ("by 25/12/26", "by 25/12/26", date(2026, 12, 25)),
    ("install date is 3rd of March", "install date is 3rd of March", date(2027, 3, 3)),
)  # fmt: skip
SHOWN = (
    ("by Christmas", "by Christmas"),
    ("needed by 03/04", "needed by 03/04"),
    ("I want them by the end of next week.", "want them by the end of next week"),
    ("opening 39 7/8 needed by 03/04", "needed by 03/04"),
    ("by Friday if you can", "by Friday"),
    ("before the 12th", "before the 12th"),
    ("by Monday, Dec 12", "by Monday, Dec 12"),  # it is a Saturday
    ("by 11/20/2026", "by 11/20/2026"),  # over
    ("needed by Dec 32", "needed by Dec 32"),
    ("in time for Thanksgiving", "in time for Thanksgiving"),
    ("by the end of the month", "by the end of the month"),
)  # fmt: skip
NONE = (
    "opening 47 7/8 by 20 1/4", '30" by 3/4 glass', "glass 20 1/4, lower 20 1/4", "stop by the shop", "May I ask",
    "by the way", "before you ask: 20 1/4", "by mail", "need 5/8 more", "I need 2 1/2 inches", "call by phone",
    "> needed by 12/12\nopening 47 7/8", "", "it sat by the wall", "built by Mark",
)  # fmt: skip


@pytest.mark.parametrize(("text", "words", "on"), CERTAIN)
def test_certain(text, words, on):
    assert [(str(d.words), d.on) for d in named_days(text, TODAY)] == [(words, on)]


@pytest.mark.parametrize(("text", "words"), SHOWN)
def test_shown_only(text, words):
    """What may be two days, or one that only the writer knows, is no day of the calendar."""
    assert [(str(d.words), d.on) for d in named_days(text, TODAY)] == [(words, None)]


@pytest.mark.parametrize("text", NONE)
def test_no_day(text):
    assert named_days(text, TODAY) == ()


def test_one_day_of_several():
    """Named twice it is one day; beside another one, or an uncertain one, none is certain."""
    assert the_day(named_days("by Dec 12. Really, by 12/12!", TODAY)) == date(2026, 12, 12)
    assert the_day(named_days("by Dec 12, at worst by Dec 20", TODAY)) is None
    assert the_day(named_days("by Dec 12, before Christmas", TODAY)) is None
    assert the_day(()) is None
