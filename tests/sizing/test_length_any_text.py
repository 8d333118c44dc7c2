"""Whatever is typed, the answer is a length within bounds or one clear sentence."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.lengths import LONGEST, LengthError, Unit, parse_length

SCRAPS = st.sampled_from(
    [
        *("2", "9", "33", "5/8", "12/8", "5", "0", ".", ",", "-", " - ", "'", '"', "''", "/", "⁄", "½", "⅝"),
        *(" ", "ft", "in", "inches", "mm", "cm", "m", "and", "a", "half", "three", "eighths", "thirty", "second"),
        *("°", "⁵", "₈", "３", "″", "\u200b", "\x00", "1,234", "8.5", "e", "nan", "of", "th", "+", "#", "🪟"),
    ]
)  # fmt: skip


def check(text: str, unit: Unit) -> None:
    try:
        length = parse_length(text, unit)
    except LengthError as refused:
        sentence = str(refused)
        assert sentence.endswith(".")
        assert sentence.isprintable()
        assert ": " in sentence
        assert len(sentence) < 300
        return
    assert type(length) is int
    assert 0 < length <= LONGEST


@given(st.text(max_size=80), st.sampled_from(Unit))
def test_any_characters(text, unit):
    """Any characters at all give a length or a sentence."""
    check(text, unit)


@given(st.lists(SCRAPS, max_size=12).map("".join), st.sampled_from(Unit))
def test_any_scraps_of_lengths(text, unit):
    """Scraps of lengths in any order give a length or a sentence."""
    check(text, unit)


@given(st.lists(SCRAPS, max_size=8).map("".join))
def test_marked_texts_do_not_depend_on_the_family(text):
    """A text that an inch family and a millimetre family both read has its unit, or is a bare decimal."""
    read = []
    for unit in Unit:
        try:
            read.append(parse_length(text, unit))
        except LengthError:
            return
    inch, mm = read
    assert inch == mm or abs(inch - mm * 25.4) <= 13.2


@pytest.mark.parametrize(
    "char", ["1", "/", "-", " ", "'", '"', ".", ",", "a", "½", "(", "\u0301", "5/8 "]
)
def test_a_megabyte_of_one_character(char):
    """A text of any length is refused, not worked on."""
    with pytest.raises(LengthError, match="too long"):
        parse_length(char * 1_000_000, Unit.INCH)
