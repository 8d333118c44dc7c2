"""A count is at least one: a nought that corrects something is named as unsure, never taken."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES


@pytest.mark.parametrize(
    "text",
    ["pane 1026\n1) 32x54\nnot sorry 0 0", "two windows, no, 0, opening 1026", "qty 2 sorry 0"],
)
def test_nought(text):
    """Whatever is turned into nought, no opening is counted nought times."""
    for table in TABLES.values():
        read = read_message(text, table)
        assert all(opening.quantity >= 1 for opening in read.openings)


def test_the_nought_is_named():
    """A clerk is shown the nought, to decide."""
    read = read_message("two windows, opening 1026 mm, no, sorry, 0 windows", TABLES["mm"])
    assert any("0" in words for words in read.unsure)
