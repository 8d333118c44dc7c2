"""Numbers beside the name of a measure that are none of its value: how many at that size, and a size across of its own."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

SIZE = {"upper_glass": 25.5, "lower_glass": 25.5, "opening": 58.375}


def read(text):
    """Each opening's measures and count, and what is unsure."""
    said = read_message(text, TABLES["liner"])
    openings = [({c: float(v) for c, v in o.measures.items()}, o.quantity) for o in said.openings]
    return openings, [str(words) for words in said.unsure]


@pytest.mark.parametrize(
    "text",
    [
        "10 @ top glass 25-1/2 bottom glass 25 1/2, opening 58 3/8",
        " - 10 @ top glass 25 1/2, bottom glass 25 1/2, opening 58 3/8",
        "10 @ upper glass: 25 1/2, lower glass: 25 1/2, opening 58 3/8",
    ],
)
def test_so_many_at_a_measure_that_is_named(text):
    """The ten is how many there are: read as the upper glass it made another window of them."""
    assert read(text) == ([(SIZE, 10)], [])


def test_a_measure_that_is_said_at_a_place_is_none():
    """A name before the number makes it a height, whatever follows."""
    assert read("opening 47 7/8 @ glass 20 1/4") == (
        [({"upper_glass": 20.25, "opening": 47.875}, 1)],
        [],
    )


@pytest.mark.parametrize(
    "text",
    ["window is 30 wide by 47 7/8 high, glass 26 x 20 1/4", "it is 47 7/8 high; glass 26 x 20 1/4"],
)
def test_a_name_before_a_size_across_is_that_size_s(text):
    """The height before it is of something else: nobody has said that the glass is 47 7/8."""
    openings, unsure = read(text)
    assert [measures for measures, _count in openings if "upper_glass" in measures] == []
    assert any("26 x 20 1/4" in words for words in unsure)
    assert any("47 7/8" in words for words in unsure)
