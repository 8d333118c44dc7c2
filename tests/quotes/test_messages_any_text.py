"""Any text at all is read without an error, and only its own words are quoted."""

from hypothesis import given, settings
from hypothesis import strategies as st

from quotes.messages import read_message
from tests.quotes.message_sets import TABLES

_SPOKEN = (
    "upper lower top bottom both glass pane opening long point liner sash weight weighs is and or not no wait sorry "
    "make that same as above the other two 17 3/8 17 3/8 40 41 1/2 3' 4\" x 32x54 , . ; : - ( ) \n \n\n \t | > 1) 2. * "
    "kitchen bath first second window windows qty x2 2 three dozen pair each all ash slate chalk about maybe between "
    "mm cm in ft lb kg # 441 12 lb 4 oz 5/ /8 ⅜ 202-555-0143 a@b.example $40 thirty two eighths Thanks, Nora wide high "
    "upper_glass UG LG op room qty finish ? ! @ & ' \" 0/0 99999999999 1,026.5"
)
_WORDS = st.sampled_from(_SPOKEN.split(" "))
_TALK = st.lists(_WORDS, max_size=60).map(" ".join)


def _check(text: str, families=tuple(TABLES)) -> None:
    for table in map(TABLES.get, families):
        read = read_message(text, table)
        said = [words for opening in read.openings for words in opening.words.values()]
        assert all(words in text for words in [*said, *read.unsure, *read.split])
        assert all(opening.quantity >= 1 and opening.measures for opening in read.openings)


@given(_TALK)
@settings(max_examples=150)
def test_talk_of_windows(text):
    """Words of the trade in any order."""
    _check(text)


@given(st.text(max_size=400))
@settings(max_examples=100)
def test_any_characters(text):
    """Characters of any kind."""
    _check(text)


@given(_WORDS | st.text(max_size=4), st.integers(1, 20_000), st.sampled_from(sorted(TABLES)))
@settings(max_examples=24)
def test_long_repeats(piece, times, family):
    """One piece over and over, as long as a message may be."""
    _check((piece * times)[:20_000], [family])
