"""Parcel measurements, against published limits.

USPS Domestic Mail Manual 401 1.3 (archived 2005-01-06 and 2012-01-22): 70 lb at most; length plus
girth at most 108 in, or 130 in for the ground parcel class; length is the longest side, girth the
distance round the thickest part.
"""

from fractions import Fraction

import pytest

from quotes.freight import Limits, Parcel
from sizing.lengths import Length
from sizing.weights import Weight

INCH, POUND = 8128, 453_592_370_000
GENERAL = Limits(None, Length(108 * INCH), Weight(70 * POUND))
GROUND = Limits(None, Length(130 * INCH), Weight(70 * POUND))


def parcel(sides, pounds=10):
    longest, middle, small = sides
    girth = Length(2 * (middle + small) * INCH)
    return Parcel(Length(longest * INCH), girth, Weight(pounds * POUND))


@pytest.mark.parametrize(
    ("sides", "inches", "general", "ground"),
    [
        ((60, 4, 3), 74, True, True),
        ((84, 5, 2), 98, True, True),
        ((96, 4, 4), 112, False, True),
        ((100, 4, 4), 116, False, True),
        ((108, 6, 5), 130, False, True),
        ((109, 6, 5), 131, False, False),
    ],
)
def test_length_plus_girth(sides, inches, general, ground):
    """Girth is twice the two smaller sides; the limit itself is allowed."""
    box = parcel(sides)
    assert Fraction(box.length_and_girth, INCH) == inches
    assert (GENERAL.take(box), GROUND.take(box)) == (general, ground)


@pytest.mark.parametrize(("pounds", "taken"), [(70, True), (71, False)])
def test_weight_limit(pounds, taken):
    """70 lb go, more does not."""
    assert GENERAL.take(parcel((40, 4, 3), pounds)) is taken
