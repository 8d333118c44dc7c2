"""Largest remainder, against printed and worked examples."""

import pytest

from quotes.allot import allot_units


@pytest.mark.parametrize(
    ("total", "votes", "seats"),
    [
        # Printed: archipel-des-libertes.fr, 930 votes for 4 seats, quota 232.5.
        (4, (500, 300, 110, 20), (2, 1, 1, 0)),
        # The customary textbook example, from memory; the seats follow from the rule.
        (10, (47000, 16000, 15900, 12000, 6000, 3100), (5, 2, 1, 1, 1, 0)),
        # Worked out by the rule: 1000 and 997 minor units.
        (1000, (1, 1, 1), (334, 333, 333)),
        (997, (1999, 2499, 5000), (210, 262, 525)),
    ],
)
def test_largest_remainder(total, votes, seats):
    """Whole units go by quota, the rest by the largest remainder."""
    assert allot_units(total, votes) == seats
