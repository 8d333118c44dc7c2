"""A text that is no weight, or more than one, is refused in one sentence that says what to type."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.weights import HEAVIEST, WeightError, WeightUnit, parse_weight

SUCH = "type a weight such as 12 lb 4 oz or 5.5 kg."
ONE = "holds more than one weight: type one weight, such as 12 lb 4 oz."

REFUSED = {
    "12 4": "can be read as 12 lb 4 oz or 12.4 lb: type the one you mean.",
    "12-4": "can be read as 12 lb 4 oz or 12.4 lb: type the one you mean.",
    "12 lb 4": "can be read as 12 lb 4 oz or 12.4 lb: type the one you mean.",
    "5 kg 4": "can be read as 5 kg 4 g or 5.4 kg: type the one you mean.",
    "1,234": "can be read as 1234 or 1.234: type the one you mean, without the comma.",
    "12 lb 17 oz": "has 17 oz after 12 lb: type whole lb with less than 16 oz after them, or all of it in oz.",
    "11.5 lb 3 oz": "has 3 oz after 11.5 lb: type whole lb with less than 16 oz after them, or all of it in oz.",
    "12/8": "has 12/8, which is not between 0 and 1: type a whole number and a fraction below one, such as 12 1/2 lb.",
    "12 1/0 lb": "has 1/0, which is not between 0 and 1: type a whole number and a fraction below one, such as 12 1/2 lb.",
    "12 lb 16 oz": "has 16 oz after 12 lb: type whole lb with less than 16 oz after them, or all of it in oz.",
    "12 - 4": ONE,
    "12 - 14 lb": ONE,
    "10-12 lb": ONE,
    "168 - 187": "holds two readings of the scale: type 187 - 168.",
    "187 168": "holds two readings of the scale: type 187 - 168.",
    "168 lb, 187.5 lb": "holds two readings of the scale: type 187.5 - 168.",
    "168 and 187": "holds two readings of the scale: type 187 - 168.",
    "187 lb - 80 kg": ONE,
    "60 - 41": ONE,
    "12 4 oz": ONE,
    "12 lb 4 oz 3 g": ONE,
    "12 oz 4 lb": ONE,
    "12 lb 300 g": ONE,
    "12 oz 4": ONE,
    "0": "is not above zero: type what the scale shows.",
    "-3": f"begins with “-”, and nothing here is below zero: {SUCH}",
    "1200": "is over 500 kg (1102 lb): type a lighter weight.",
    "12 stone": f"holds “stone”, which is no number and no unit here: {SUCH}",
    "about 12": f"holds “about”, which is no number and no unit here: {SUCH}",
    "nan": f"is no number: {SUCH}",
    "12 ft": f"holds “ft”, which is no number and no unit here: {SUCH}",
    "12'": f"holds the mark ', which cannot be read here: {SUCH}",
    "lb": f"has no number before “lb”: {SUCH}",
}  # fmt: skip


def refusal(text: str) -> str:
    with pytest.raises(WeightError) as refused:
        parse_weight(text, WeightUnit.POUND)
    return str(refused.value)


@pytest.mark.parametrize("text", REFUSED)
def test_what_is_wrong(text):
    """The sentence names what was typed, what is wrong with it and what to type instead."""
    assert refusal(text) == f"“{text}” {REFUSED[text]}"


@pytest.mark.parametrize("text", ["", "  "])
def test_nothing(text):
    """An empty text says so."""
    assert refusal(text) == f"This weight is empty: {SUCH}"


SCRAPS = st.sampled_from(
    ["12", "4", "0", "1/2", ".", ",", "-", " ", "lb", "oz", "#", "kg", "g", "and", "½", "half", "1,234", "e"]
)  # fmt: skip


@given(
    st.one_of(st.text(max_size=80), st.lists(SCRAPS, max_size=10).map("".join)),
    st.sampled_from(WeightUnit),
)
def test_any_text(text, unit):
    """Whatever is typed, the answer is a weight within bounds or one clear sentence."""
    try:
        weight = parse_weight(text, unit)
    except WeightError as refused:
        assert str(refused).endswith(".")
        assert str(refused).isprintable()
        return
    assert 0 < weight <= HEAVIEST
