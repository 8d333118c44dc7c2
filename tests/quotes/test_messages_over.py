"""“Over” between two numbers: one sash's glass over the other's, or panes; neither is lost nor ordered as a count."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES


def read(text):
    """[({measure: inches}, quantity)] of a message, and what is unsure."""
    found = read_message(text, TABLES["liner"])
    openings = [
        ({code: float(said) for code, said in one.measures.items()}, one.quantity)
        for one in found.openings
    ]
    return openings, [*found.unsure]


@pytest.mark.parametrize(
    ("text", "upper", "lower"),
    [
        ("glass 16 over 24 1/4", 16, 24.25),
        ("the glass is 24 1/4 over 16", 24.25, 16),
        ("16 over 24 1/4 glass", 16, 24.25),
        ("glass 12 over 16 1/2", 12, 16.5),
        ("glass 15 over 17", 15, 17),
        ("glass fifteen over seventeen", 15, 17),
        ('glass 16" over 12"', 16, 12),
        ("glass 16 1/2 over 24 1/4", 16.5, 24.25),
    ],
)
def test_the_upper_glass_over_the_lower(text, upper, lower):
    """A whole number beside "over" is as much a measure as a broken one."""
    assert read(text) == ([({"upper_glass": upper, "lower_glass": lower}, 1)], [])


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("6 over 6 windows, both glass 20 1/4", 1),
        ("12 over six windows, both glass 20 1/4", 1),
        ("need liners for 9 over 1 sashes, both glass 20 1/4", 1),
        ("six over six windows, 2 of them, both glass 20 1/4", 2),
        ("two 12 over 12 windows, both glass 20 1/4", 2),
        ("two six over one kitchen windows, both glass 20 1/4", 2),
    ],
)
def test_panes_are_no_count(text, quantity):
    """What a sash is divided into orders nothing."""
    assert read(text) == ([({"upper_glass": 20.25, "lower_glass": 20.25}, quantity)], [])


FIRST, SECOND = (
    {"upper_glass": 16, "lower_glass": 24.25},
    {"upper_glass": 20.25, "lower_glass": 20.25},
)


@pytest.mark.parametrize(
    ("text", "openings"),
    [
        (
            "I have two windows. The first one is 16 over 24 1/4 and the second one is 20 1/4 both",
            [FIRST, SECOND],
        ),
        ("The first one is 20 1/4 both and the other one is 16 over 24 1/4", [SECOND, FIRST]),
        (
            "Two windows. The first window: 16 over 24 1/4. The second window: 20 1/4 both.",
            [FIRST, SECOND],
        ),
    ],
)
def test_glass_where_another_windows_glass_is_told(text, openings):
    """Each window once, with its own."""
    assert read(text) == ([(one, 1) for one in openings], [])


def test_a_window_that_is_not_read_is_not_made_up_for_by_another():
    """Two windows, of which one stays unsure: the other is not wanted twice."""
    text = "two windows: kitchen is 16 over 24 1/4, bath is 20 1/4 both"
    assert read(text) == ([(SECOND, 1)], ["two windows", "16", "24 1/4"])


def test_the_size_of_a_window_is_not_its_glass():
    """16 over 24 windows, both glass 20 1/4: one window, said twice."""
    assert read("16 over 24 windows, both glass 20 1/4") == ([(SECOND, 1)], ["16", "24"])


def test_a_count_of_panes_alone():
    """Nothing is known of the windows but how many they are: shown whole, the count with its panes."""
    assert read("two 12 over 12 windows") == ([], ["two 12 over 12 windows"])
    assert read("two 16 over 24 windows") == ([], ["two", "16", "24"])


def test_two_sizes_of_nothing_named_are_unsure():
    """Of windows it may be glass or sashes: the clerk decides, and neither number counts windows."""
    assert read("16 over 24 windows, opening 47 5/8") == ([({"opening": 47.625}, 1)], ["16", "24"])


def test_more_than_so_many_windows_is_a_doubtful_count():
    """Without a number before it, "over" says that there are more."""
    assert read("we have over 12 windows. both glass 20 1/4")[1] == ["12 windows"]


def test_millimetres_are_never_panes():
    """No sash has hundreds of panes: what is too short for a size is shown as unsure, and not lost."""
    message = read_message("glass 350 over 360, opening 900", TABLES["mm"])
    assert message.openings[0].measures["lower_glass"] == 360
    assert list(message.unsure) == ["350"]
