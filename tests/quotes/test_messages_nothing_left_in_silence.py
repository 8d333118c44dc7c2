"""What stands in a message and is not taken is named, never dropped or counted in silence."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

BELOW = """

On Mon, 3 Nov 2026, Jo wrote:
> kitchen: upper glass 20 1/4, lower glass 20 3/8, opening 48, 2 pairs"""
TWO_BELOW = f"{BELOW}\n> bath: upper glass 17, lower glass 17, opening 42"


def read(text):
    return read_message(text, TABLES["inch"])


def test_so_many_times_another_measure_counts_nothing():
    """Twice the glass is no two windows."""
    for text in (
        "Kitchen window: glass 17 1/2, opening is 2x the glass.",
        "Upper glass is 20 1/4. The opening is 2x that.",
    ):
        told = read(text)
        (opening,) = told.openings
        assert opening.quantity == 1
        assert "2" in [str(words) for words in told.unsure], text
    (opening,) = read("glass 17 1/2, opening 42, 2x the ash").openings
    assert opening.quantity == 2


@pytest.mark.parametrize(
    ("text", "upper", "lower"),
    [
        ("glass 17 top 17 bottom, opening 42", 17, 17),
        ("glass 17 1/2 top 18 1/4 bottom", 17.5, 18.25),
        ("glass 18 1/4 lower 17 upper", 17, 18.25),
        ("glass: top 17 1/2 bottom 18 1/4", 17.5, 18.25),
    ],
)
def test_sashes_named_after_their_glass(text, upper, lower):
    """In a row of amounts and sashes all are read the same way round, with commas and without."""
    (opening,) = read(text).openings
    measures = {code: float(value) for code, value in opening.measures.items()}
    assert (measures["upper_glass"], measures["lower_glass"]) == (upper, lower)


def test_one_value_corrected_above_an_older_mail():
    """Whether the rest of it holds, or this is another window, is asked: the rest is named, window by window."""
    told = read(f"Sorry, the opening is 47 7/8.{BELOW}")
    assert [list(opening.measures) for opening in told.openings] == [["opening"]]
    assert [str(words) for words in told.unsure] == ["upper glass 20 1/4, lower glass 20 3/8"]
    told = read(f"Sorry, the opening is 47 7/8, not 48.{TWO_BELOW}")
    assert [str(words) for words in told.unsure] == [
        "upper glass 20 1/4, lower glass 20 3/8",
        "upper glass 17, lower glass 17",
    ]


def test_a_whole_window_above_an_older_mail():
    """Who tells a window anew has left nothing."""
    told = read(f"Upper glass 20 1/4, lower glass 20 3/8, opening 47 7/8.{BELOW}")
    assert not told.unsure
