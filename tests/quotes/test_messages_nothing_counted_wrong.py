"""How many, in which finish, of which window and sash: what a message says of it is read, or named as unsure."""

import pytest

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

TOP, BOTTOM, OPENING = ("upper_glass", 20.25), ("lower_glass", 20.25), ("opening", 47.875)
WHOLE = [TOP, BOTTOM, OPENING]
QUOTED = (
    "\n\nOn Tue, Nov 3, 2026 at 9:12 AM Mara <mara@quill.example> wrote:\n"
    "> Upper glass 20 1/4, lower glass 20 1/4, opening 47 7/8, one window, slate\n"
)


def _read(text):
    """Each opening's measures, count and finish, and what is unsure."""
    read = read_message(text, TABLES["liner"])
    said = [
        ({code: float(value) for code, value in o.measures.items()}, o.quantity, o.finish)
        for o in read.openings
    ]
    return said, list(read.unsure)


@pytest.mark.parametrize(
    ("text", "count", "finish"),
    [
        ("Opening 47 7/8. I need a half dozen.", 6, None),
        ("half a dozen, opening 47 7/8", 6, None),
        ("a half-dozen windows, opening 47 7/8", 6, None),
        ("Same as last time but 6 this time, slate. Opening 47 7/8", 6, "slate"),
        ("I'd like the same as last time: 3. Opening 47 7/8.", 3, None),
        ("Delivery time: 3 weeks? Opening 47 7/8", 1, None),
        ("Opening 47 7/8. Make it 2 in ash.", 2, "ash"),
        ("Opening 47 7/8. Not 2, but 3 please.", 3, None),
    ],
)
def test_how_many(text, count, finish):
    """Counts as people say them on ordering again, or by the dozen."""
    assert _read(text) == ([({"opening": 47.875}, count, finish)], [])


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("One slate, two ash. {}", [(1, "slate"), (2, "ash")]),
        ("Six identical windows, three in slate three in ash. {}", [(3, "slate"), (3, "ash")]),
        ("2 ash, 1 slate, 1 chalk. {}", [(2, "ash"), (1, "slate"), (1, "chalk")]),
        ("{}. 3 in ash, the other 2 in slate", [(3, "ash"), (2, "slate")]),
        ("{}. 3 in ash and 2 in slate", [(3, "ash"), (2, "slate")]),
    ],
)
def test_each_finish_with_its_count(text, wanted):
    """One size in several finishes: none of them is lost for the last one that was named."""
    said, unsure = _read(text.format("Upper glass 20 1/4, lower glass 20 1/4, opening 47 7/8"))
    assert said == [(dict(WHOLE), *one) for one in wanted] and unsure == []


@pytest.mark.parametrize(
    ("text", "unsure"),
    [
        ("Kitchen and bath both have upper glass 20 1/4", "Kitchen and bath"),
        ("The kitchen and the den: upper glass 20 1/4", "kitchen and the den"),
        ("Window 1 & window 3 have upper glass 20 1/4", "Window 1 & window 3"),
        ("Units 101, 102, 103: upper glass 20 1/4", "101"),
        ("Windows 1-4: upper glass 20 1/4", "4"),
    ],
)
def test_windows_named_together(text, unsure):
    """What two names in one breath stand for, one window or two, is asked of the clerk; a name is no count."""
    said, doubted = _read(text)
    assert said == [(dict([TOP]), 1, None)] and unsure in doubted


@pytest.mark.parametrize(
    "text",
    [
        "2 windows, kitchen and bath: upper glass 20 1/4",
        "Living and dining room: upper glass 20 1/4",
    ],
)
def test_named_together_and_counted(text):
    """Where their count is said, or the two are one room, nothing is asked."""
    assert _read(text)[1] == []


def test_the_second_is_not_ordered_for_the_first():
    """Of two windows the first stays unsure: the other is read once, as its own, and that one is missing is said."""
    text = "Two windows: the first is 16 x 24, the second 20 1/4 both"
    assert _read(text) == ([(dict([TOP, BOTTOM]), 1, None)], ["Two windows", "16 x 24"])
    read = read_message(text, TABLES["liner"])
    assert read.openings[0].label == "2" and (read.total.said, read.total.read) == (2, 1)


def test_both_numbered_windows_are_read():
    """The first is 16 over 24, the second 20 1/4 both."""
    said, unsure = _read("the first is 16 over 24, the second 20 1/4 both")
    assert said == [
        ({"upper_glass": 16, "lower_glass": 24}, 1, None),
        (dict([TOP, BOTTOM]), 1, None),
    ]
    assert unsure == []


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Yes please.", (1, "slate")),
        ("Please go ahead with two, in ash.", (2, "ash")),
        ("Confirmed, qty 4.", (4, "slate")),
        ("That's right, except we need 2 of them", (2, "slate")),
        ("All the same but make it 2 in ash.", (2, "ash")),
        ("Everything below is right. Qty 3.", (3, "slate")),
        ("The rest stands, but in ash.", (1, "ash")),
    ],
)
def test_yes_to_what_was_written_earlier(text, wanted):
    """Who answers yes means the window quoted below, in the number and finish that they say now."""
    assert _read(text + QUOTED) == ([(dict(WHOLE), *wanted)], [])


@pytest.mark.parametrize(
    ("text", "openings"),
    [
        ("Please don't go ahead yet, I will measure again.", []),
        ("Before you proceed: is it in stock?", []),
        ("Yes please. And one for the den, upper glass 20 1/4", [(dict([TOP]), 1, None)]),
    ],
)
def test_no_yes_to_it(text, openings):
    """What was written earlier is not taken where it is held up, nor put into another window."""
    assert _read(text + QUOTED)[0] == openings


@pytest.mark.parametrize("word", ["Fax", "Bonjour", "Confirmed"])
def test_no_name(word):
    """A word before a number or a comma is not who wrote it."""
    read = read_message(f"{word}, opening 47 7/8\n{word} 802 555 0118", TABLES["liner"])
    assert read.contact.name is None


def test_more_than_nobody_knows():
    """Two more than last time are not two."""
    assert _read("Upper glass 20 1/4. Order two more than last time.")[1] == ["two"]


@pytest.mark.parametrize(
    "text",
    [
        "16 1/2 / 24 (upper/lower glass)",
        "16 1/2 and 24 top and bottom",
        "24 & 16 1/2 bottom and top",
    ],
)
def test_one_for_each_sash_named_after_them(text):
    """Two sizes and then two sashes: not the last one for both."""
    assert _read(text) == ([({"upper_glass": 16.5, "lower_glass": 24}, 1, None)], [])


def test_floors_are_windows_of_their_own():
    text = (
        "First floor: 3 windows, upper glass 20 1/4, lower glass 20 1/4. "
        "Second floor: 2 windows, upper glass 16 1/2, lower glass 24."
    )
    lower = {"upper_glass": 16.5, "lower_glass": 24}
    assert _read(text) == ([(dict([TOP, BOTTOM]), 3, None), (lower, 2, None)], [])


@pytest.mark.parametrize(
    ("text", "code", "value"),
    [
        ("upper glass 51 cm and a half", "upper_glass", 51.5 / 2.54),
        ("upper glass 514 mm and a half", "upper_glass", 514.5 / 25.4),
        ("sash weighs 9 pounds and a quarter", "sash_weight", 9.25),
        ("upper glass 51 cm and opening 1216 mm", "upper_glass", 51 / 2.54),
    ],
)
def test_and_a_half_of_any_unit(text, code, value):
    """What follows a unit is not left off."""
    ((measures, _, _),), unsure = _read(text)
    assert measures[code] == pytest.approx(value, abs=1e-5) and unsure == []
