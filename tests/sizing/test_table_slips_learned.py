"""What comes back because it was measured wrongly makes the desk more suspicious of slips, within bounds."""

import pytest

from fixtures.build import liner
from sizing.table import MOST_SLIPS, slip_factor, with_slips_scaled


@pytest.mark.parametrize(
    ("lines", "remakes", "low", "high"),
    [(0, 0, 1, 1), (1000, 2, 1, 1), (1000, 0, 0.5, 0.6), (1000, 8, 2, 3), (10, 50, 3, 3), (10**6, 0, 0.5, 0.5)],
)  # fmt: skip
def test_factor(lines, remakes, low, high):
    """As many as usual leaves the shares; more raises them, fewer lowers them, never beyond 1/2 and 3."""
    assert low <= slip_factor(lines, remakes) <= high


def test_scaled_shares_stay_shares():
    """Each measure's slips keep their proportions and sum to less than a whole."""
    table = liner()
    scaled = with_slips_scaled(table, 3.0)
    for before, after in zip(table.slips, scaled.slips, strict=True):
        assert before.share < after.share <= MOST_SLIPS
    assert with_slips_scaled(table, 1.0) is table
