"""The lifting caution against NIOSH's revised lifting equation.

NIOSH 94-110, revised 2021: recommended weight limit = load constant (51 lb or 23 kg) x multipliers of
at most 1. Example 4, package inspection (manual pp. 44 to 46): 34.9 lb at the origin and 15.2 lb at
the destination on the worksheet, whose multipliers have two decimals; so 0.1 lb is allowed. The
inputs are those that give the printed multipliers.
"""

import pytest

from sizing.cautions import LIFT, LOAD_CONSTANT, cautions_for
from sizing.weights import Weight, WeightUnit, from_number


def recommended_limit_lb(h, v, d, a, frequency, coupling) -> float:
    """The equation in inches, degrees and pounds."""
    constant, horizontal, vertical = 51, 10 / h, 1 - 0.0075 * abs(v - 30)
    distance, asymmetric = 0.82 + 1.8 / d, 1 - 0.0032 * a
    return constant * horizontal * vertical * distance * asymmetric * frequency * coupling


def lift_is_cautioned(weight: Weight) -> bool:
    return LIFT in cautions_for(sprung=True, sash_weight=weight)


@pytest.mark.parametrize(
    ("place", "printed"),
    [
        ({"h": 10, "v": 22, "d": 37, "a": 0, "frequency": 0.88, "coupling": 0.95}, 34.9),
        ({"h": 20, "v": 59, "d": 37, "a": 0, "frequency": 0.88, "coupling": 1.00}, 15.2),
    ],
)
def test_package_inspection(place, printed):
    """The equation as understood here gives NIOSH's printed example, under the constant the caution uses."""
    limit = recommended_limit_lb(**place)
    assert limit == pytest.approx(printed, abs=0.1)
    assert from_number(limit, WeightUnit.POUND) < LOAD_CONSTANT


@pytest.mark.parametrize(
    ("number", "unit"), [(23, WeightUnit.KG), (51, WeightUnit.POUND)], ids=["23 kg", "51 lb"]
)
def test_past_the_load_constant(number, unit):
    """Anything past the load constant, in either of its two forms, is cautioned."""
    assert lift_is_cautioned(Weight(from_number(number, unit) + 1))


def test_the_two_forms():
    """51 lb is 23.13 kg, not 23: the caution starts at the lighter of the two, and never later."""
    assert from_number(51, WeightUnit.POUND) > LOAD_CONSTANT == from_number(23, WeightUnit.KG)
    assert not lift_is_cautioned(LOAD_CONSTANT)


def test_the_words():
    """The caution names the constant in both units and that a lighter sash can hurt too."""
    assert "51 lb (23 kg)" in LIFT.text
    assert "lighter" in LIFT.text
