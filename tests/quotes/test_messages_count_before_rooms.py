"""Two windows: kitchen ..., bath ...: the count is of both, and the first is not ordered twice."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

ONE, TWO = "glass 22 5/8, opening 53 1/4", "glass 18 3/8, opening 44 1/2"


def counted(text):
    """The windows' counts, what is unsure, and (windows spoken of, windows read) where they differ."""
    message = read_message(text, TABLES["inch"])
    total = message.total and (message.total.said, message.total.read)
    return [one.quantity for one in message.openings], [*message.unsure], total


@pytest.mark.parametrize(
    "text",
    [
        f"Hi, two windows: kitchen {ONE}; bath {TWO}",
        f"2 windows: kitchen {ONE} and bath {TWO}",
        f"three windows: kitchen {ONE}; bath {TWO}; hall same as bath",
    ],
)
def test_as_many_rooms_as_windows(text):
    """A colon says that the rooms are what was counted: one of each, and nothing is in doubt."""
    counts, unsure, total = counted(text)
    assert (set(counts), unsure, total) == ({1}, [], None)


def test_without_a_colon_it_is_shown():
    """It may as well be two in the kitchen and one in the bath, so the clerk decides."""
    assert counted(f"two windows, kitchen {ONE}, bath {TWO}") == ([1, 1], ["two windows"], None)


def test_fewer_rooms_than_windows():
    """One may have been left out: both numbers are told."""
    said = counted(f"three windows: kitchen {ONE}; bath {TWO}")
    assert said == ([3, 1], ["three windows"], (3, 4))


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        (f"two windows in the kitchen: {ONE}; bath {TWO}", [2, 1]),
        (f"two kitchen windows: {ONE}; bath {TWO}", [2, 1]),
        (f"3 windows, kitchen {ONE}; 2 windows, bath {TWO}", [3, 2]),
        (f"two windows: kitchen {ONE}", [2]),
    ],
)
def test_a_rooms_own_count_stays(text, counts):
    """What counts the windows of one room goes on counting them, and is no sum of others."""
    assert counted(text) == (counts, [], None)
