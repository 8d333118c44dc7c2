"""What is said in two units is counted in the smaller: feet and inches in inches, pounds and ounces in ounces."""

import pytest

from quotes.messages.amounts import amounts
from quotes.messages.scan import tokens


@pytest.mark.parametrize(
    ("said", "value"),
    [("3 ft 4 in", 40), ("3' 4\"", 40), ("1 m 16 cm", 1160), ("12 lb 4 oz", 196)],
)
def test_counted_in_the_smaller(said, value):
    (amount,) = amounts(tokens(said, []), frozenset())
    assert amount.value == value
