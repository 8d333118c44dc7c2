"""The resolver's probability sums, worked out again with scipy from the same declared assumptions.

scipy.stats supplies the normal and uniform densities, scipy.integrate the sums over sizes and splits;
nothing of the resolver's own arithmetic is used here.
"""

import numpy as np
import pytest
import scipy

from sizing.lengths import PER_INCH
from sizing.resolver import Arrays, noise, resolve_arrays
from tests.sizing.desk import family


def density(miss: float, sd: float, slips, sizes: np.ndarray) -> float:
    """Density per inch of a reading's miss: tape error and slips by scipy, blunders as declared."""
    fair = (1 - noise.BLUNDER) * tape_and_slips(miss, sd, slips)
    span = 2 * np.ptp(sizes) + 10
    misread = sum(tape_and_slips(miss + side, 1.5 * sd, slips) for side in (-1, 1)) / 2
    misread *= 1 - noise.BLUNDER
    careless = scipy.stats.norm.pdf(miss, 0, 4 * sd)
    return fair + noise.MISREAD * misread + noise.CARELESS * careless + noise.ANYTHING / span


def tape_and_slips(miss: float, sd: float, slips) -> float:
    def tape(around: float) -> float:
        return sum(w * scipy.stats.norm.pdf(around, 0, sd * wide) for w, wide in noise.TAPE)

    total = (1 - sum(share for *_, share in slips)) * tape(miss)
    for low, high, share in slips:
        reach = noise.STRAY_REACH * abs(low + high) / 2
        pieces = [
            (1 - noise.STRAY_SHARE, low, high),
            (noise.STRAY_SHARE / 2, low - reach, low),
            (noise.STRAY_SHARE / 2, high, high + reach),
        ]
        for weight, a, b in pieces:
            inside, _ = scipy.integrate.quad(lambda s: tape(miss - s), a, b, epsabs=1e-10)
            total += share * weight * inside / (b - a)
    return total


OPENING = [(-0.875, -0.5, 0.05), (0.375, 0.75, 0.03)]
LONG_POINT = [(-0.875, -0.375, 0.11)]


@pytest.mark.parametrize(
    ("opening", "long_point"), [(54.875, 55.625), (55.25, 55.5), (56.0, 56.75), (54.3, 55.0)]
)
def test_rows_against_each_other(opening, long_point):
    """The odds between rows are the product of the densities of each reading, by scipy."""
    compiled = family("liner")
    lengths = [-1, -1, round(opening * PER_INCH), round(long_point * PER_INCH)]
    found = resolve_arrays(compiled, Arrays.of_lengths(np.array([lengths], dtype=np.int64)))
    ours = found.sizes.rows[0].astype(float)

    rows = np.array(compiled.table.rows) / PER_INCH
    theirs = []
    for row in rows:
        at_opening = density(opening - row[1], 1 / 8, OPENING, rows[:, 1])
        theirs.append(at_opening * density(long_point - row[2], 1 / 16, LONG_POINT, rows[:, 2]))
    theirs = np.array(theirs)
    best = ours.argmax()
    assert best == theirs.argmax()
    near = theirs > 1e-4 * theirs.max()
    assert ours[near] / ours[best] == pytest.approx(theirs[near] / theirs[best], rel=0.05)


def test_no_reading_leaves_the_shares():
    """With nothing measured the posterior is the prior: 80, 12 and 8 in a hundred, as set."""
    compiled = family("liner")
    found = resolve_arrays(compiled, Arrays.of_lengths(np.array([[-1] * 4], dtype=np.int64)))
    assert found.sizes.shares[0] == pytest.approx([0.80, 0.12, 0.08], abs=1e-5)


def test_curves_sum_to_one():
    """Every error density integrates to one over the misses it covers, short of the far tail."""
    for curves in family("liner").measures:
        values = curves.row.values.astype(float)
        total = scipy.integrate.trapezoid(values, dx=1 / 64)
        assert total == pytest.approx(1, abs=0.01)
