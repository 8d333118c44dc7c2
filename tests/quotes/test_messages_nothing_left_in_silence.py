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


@pytest.mark.parametrize(
    ("text", "measures", "words"),
    [
        ("Kitchen window: glass 17 1/2, opening is 2x the glass.", {"upper_glass": 17.5}, "2x the glass"),
        ("Upper glass is 20 1/4. The opening is 2x that.", {"upper_glass": 20.25}, "2x that"),
        ("glass 17 1/2, opening is twice the glass", {"upper_glass": 17.5}, "twice the glass"),
        ("opening is twice the glass, glass is 17 1/2", {"upper_glass": 17.5}, "twice the glass"),
        ("Upper glass is 20 1/4. The opening is twice that.", {"upper_glass": 20.25}, "twice that"),
        ("glass 17, the opening is two times the glass", {"upper_glass": 17}, "two times the glass"),
        ("glass 17 1/2, the opening is just over double", {"upper_glass": 17.5}, "double"),
        ("opening 42, the glass is half the opening", {"opening": 42}, "half the opening"),
        ("opening is half of 84, glass 17", {"upper_glass": 17}, "half of 84"),
        ("upper glass 17, the lower is double the upper", {"upper_glass": 17}, "double the upper"),
        ("opening = 2 x glass + 7, glass 17 3/8", {"upper_glass": 17.375}, "2 x glass + 7"),
        ("opening is glass times two plus 7. glass 17", {"upper_glass": 17}, "glass times two plus 7"),
        ("upper glass 17, lower glass is the same plus 1/4", {"upper_glass": 17}, "same plus 1/4"),
        ("upper glass 17, lower glass = upper glass + 1/4", {"upper_glass": 17}, "upper glass + 1/4"),
        ("glass 17, el hueco es el doble del vidrio", {"upper_glass": 17}, "doble del vidrio"),
        ("Glas 17, die Öffnung ist doppelt so hoch wie das Glas", {"upper_glass": 17}, "doppelt so hoch wie das Glas"),
    ],
)  # fmt: skip
def test_said_by_another_measure(text, measures, words):
    """Twice the glass is neither a value nor two windows: it was not worked out, so it is named."""
    told = read(text)
    (opening,) = told.openings
    assert {code: float(value) for code, value in opening.measures.items()} == measures
    assert opening.quantity == 1
    assert words in [str(one) for one in told.unsure]


def test_what_follows_it_may_be_of_either():
    """The opening is twice the glass, 35: nobody knows whether that is the opening or the glass."""
    told = read("The opening is twice the glass, 35.")
    assert not told.openings
    assert [str(one) for one in told.unsure] == ["twice the glass", "35"]


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("glass 17 1/2, opening 42, 2x the ash", 2),
        ("I measured the glass twice: 17 1/2. Opening 42.", 1),
        ("double hung windows with double glass, glass 17 1/2, opening 42", 1),
        ("The glass is double. Glass 17 1/2, opening 42", 1),
        ("Opening 42, glass 17 1/2, both are the same; 2x kitchen", 2),
        ("glass 17 1/2 x 2, opening 42", 2),
    ],
)
def test_no_relation(text, quantity):
    """Counts, glazing and what was measured twice are read as before, in doubt with nothing."""
    told = read(text)
    (opening,) = told.openings
    assert (float(opening.measures["opening"]), opening.quantity) == (42, quantity)
    assert "upper_glass" in opening.measures and not told.unsure


@pytest.mark.parametrize(
    "text",
    [
        "glass 17 3/8 upper 17 3/8 opening 42",
        "upper 17 3/8 glass 17 3/8 opening 42",
        "glass 17 3/8 lower 17 3/8, opening 42",
    ],
)
def test_the_same_number_of_neither_sash(text):
    """Of two equal glass heights in one breath one names no sash: it may be the other's, so it is named."""
    told = read(text)
    (opening,) = told.openings
    assert len(opening.measures) == 2
    assert [str(one) for one in told.unsure] == ["17 3/8"]


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
