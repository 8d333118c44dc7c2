"""A few words say one whole number, or none."""

import pytest

from quotes.messages import whole_number


@pytest.mark.parametrize(
    ("words", "number"),
    [
        ("two", 2), ("2", 2), ("qty 3", 3), ("twelve", 12), ("x4", 4),
        ("a few", None), ("2 or 3", None), ("17 3/8", None), ("12 lb", None), ("", None),
    ],
)  # fmt: skip
def test_whole_number(words, number):
    """Digits and words count alike; two numbers, a fraction or a unit make it none."""
    assert whole_number(words) == number
