"""A family's own names are read: its codes, its labels, its finishes, its units."""

from decimal import Decimal

import pytest

from fixtures.build import balance, liner, strip
from quotes.messages import read_message
from tests.quotes.message_sets import TABLES


@pytest.mark.parametrize(
    ("build", "text", "measures", "quantity", "finish"),
    [
        (balance, "Sash height 820, channel 690, sash 9 kg, x2", {"sash_height": 820, "channel": 690, "sash_weight": 9}, 2, None),
        (balance, "The sash is 820 mm high. Old balance channel 690mm", {"sash_height": 820, "channel": 690}, 1, None),
        (balance, "sash_height: 820\nchannel: 690\nsash_weight: 9.5", {"sash_height": 820, "channel": 690, "sash_weight": Decimal("9.5")}, 1, None),
        (strip, "Length 1250, slate, 4 off", {"length": 1250}, 4, "slate"),
        (strip, "the old strip is 1250 mm long, chalk", {"length": 1250}, 1, "chalk"),
        (liner, "Upper glass height 20 3/4, old liner 50 1/8 long, ash, 2 windows", {"upper_glass": Decimal("20.75"), "long_point": Decimal("50.125")}, 2, "ash"),
    ],
)  # fmt: skip
def test_own_names(build, text, measures, quantity, finish):
    """Each family by the names of its table."""
    (opening,) = read_message(text, build()).openings
    assert (dict(opening.measures), opening.quantity, opening.finish) == (
        measures,
        quantity,
        finish,
    )


def test_measure_of_another_family_is_unsure():
    """What the family does not measure is placed nowhere."""
    read = read_message("opening 1600, glass 700, sash height 820", balance())
    assert [dict(opening.measures) for opening in read.openings] == [{"sash_height": 820}]
    assert read.unsure == ("1600", "700")


def test_split_is_noted_and_measures_nothing():
    """A split named in words stands by itself; no height is made of it."""
    read = read_message("cottage windows, 60/40, opening 41 1/8", TABLES["inch"])
    assert read.split == ("cottage", "60/40")
    assert [dict(o.measures) for o in read.openings] == [{"opening": Decimal("41.125")}]


def test_count_and_finish_keep_their_words():
    """The clerk sees which words the count and the finish were read from."""
    (opening,) = read_message("opening 41, three of them, in Slate", TABLES["inch"]).openings
    assert (opening.quantity_words, opening.finish_words) == ("three of them", "Slate")
