"""A number far from every size of the table is told as such: its unit is in doubt."""

import pytest

from tests.sizing.desk import ask_desk


@pytest.mark.parametrize(
    ("family", "measures", "words"),
    [
        (
            "balance",
            {"channel": "21"},
            "less than half the smallest size: type 21 in if it is inches",
        ),
        ("balance", {"channel": "2"}, "less than half the smallest size: check its unit"),
        (
            "liner",
            {"upper_glass": "390"},
            "over twice the largest size: type 390 mm if it is millimetres",
        ),
        ("liner", {"upper_glass": "2"}, "less than half the smallest size: check its unit"),
        ("liner", {"upper_glass": "120"}, "over twice the largest size: check its unit"),
        ("liner", {"upper_glass": "30"}, "as given"),
    ],
)
def test_far_from_every_size(family, measures, words):
    """21 among sizes of some 500 mm is most likely inches: the clerk is told what to type then."""
    answer = ask_desk(family, **measures)
    (reading,) = answer.readings
    assert reading.words == words
