"""How many windows a message speaks of is held against how many were read of it."""

import pytest

from quotes.messages import read_message
from tests.quotes.counter_page import words_of
from tests.quotes.message_sets import TABLES
from tests.quotes.pasted_page import read

ONE = "glass 22 5/8, opening 53 1/4, 13 lb"
TWO = "glass 18 3/8, opening 44 1/2, 10 lb"
GLASS, OTHER = "glass 22 5/8, opening 53 1/4", "glass 18 3/8, opening 44 1/2"
SEVEN = f"Den x4: {ONE}\nPorch x3: {TWO}"
DIFFER = [
    f"We have 11 windows.\n\n{SEVEN}",
    f"Please quote eleven windows\n{SEVEN}",
    f"{SEVEN}\nThat is 11 windows in total.",
    f"{SEVEN}\n\nTotal: 11 windows",
    f"11 windows:\n4 den, {ONE}\n3 porch, {TWO}",
    f"11 windows\n1) x4 {ONE}\n2) x2 {TWO}\n3) same as 2",
    f"den {GLASS}, porch {OTHER}, total 11",
    f"den: {GLASS}; porch: {OTHER}; total: 11",
]


@pytest.mark.parametrize("text", DIFFER)
def test_differs(text):
    """Both numbers are told, and the words of the one that was named are not sure."""
    message = read_message(text, TABLES["inch"])
    read_ = sum(opening.quantity for opening in message.openings)
    assert message.total is not None
    assert (message.total.said, message.total.read) == (11, read_)
    assert any("11" in words or "eleven" in words for words in message.unsure)


@pytest.mark.parametrize(
    "text",
    [
        f"We have 7 windows.\n\n{SEVEN}",
        f"{SEVEN}\nThat is 7 windows in total.",
        f"{SEVEN}\nseven altogether",
        f"den {GLASS} x4, porch {OTHER} x3, total 7",
        f"Two windows. Den: {ONE}. Porch: {TWO}.",
        f"4 windows\n1 den {ONE}\n2 porch {TWO}\n3 attic {ONE}\n4 loft same",
        f"4 windows\nden: {ONE}",
        f"3 windows\n1. {ONE}\n2. same\n3. same",
        f"5 windows\nDen: {ONE}\nPorch: {TWO}, 2 in ash, 2 in slate",
        f"We have 9 windows like this and need 2: {ONE}",
        SEVEN,
    ],
)
def test_agrees(text):
    """Nothing is told where the sum is right, or where nobody named one."""
    message = read_message(text, TABLES["inch"])
    assert message.total is None
    assert message.unsure == ()


def test_of_one_size():
    """A total beside one size is how many of it are wanted."""
    message = read_message(f"{GLASS}, total 4", TABLES["inch"])
    assert ([opening.quantity for opening in message.openings], message.unsure) == ([4], ())


def test_of_a_measure():
    """A total that a measure is named before is no count."""
    message = read_message(f"{GLASS.split(',')[0]}, opening total 53", TABLES["inch"])
    assert [opening.quantity for opening in message.openings] == [1]


def test_nothing_was_read():
    """Where no window was described there is nothing to count."""
    assert read_message("Do you have a price for 11 windows?", TABLES["inch"]).total is None


def test_the_clerk_is_told(clerk, liner):
    """One sentence above the openings, and nothing of it where both agree."""
    told = words_of(read(clerk, DIFFER[0]))
    assert "The message speaks of 11 windows; 7 were read." in told
    assert "The message speaks of" not in words_of(read(clerk, DIFFER[0].replace("11", "7")))


def test_the_clerk_is_told_of_one(clerk, liner):
    """The sentence is right of a single window as well."""
    told = words_of(read(clerk, f"Den: {ONE}\nPorch: {TWO}\n\nTotal: 1 window"))
    assert "The message speaks of 1 window; 2 were read." in told
