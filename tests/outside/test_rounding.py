"""Rounding against published rules and their printed examples.

ASTM E29 rounding method: half goes to the even digit (6.4.3 and 6.4.4; examples as printed in a state
materials testing manual, second-hand). Ontario MTO LS-100 (1995): rounding is done in one step.
The table of ties at 1/16 in is computed with Python's
fractions and decimal modules.
"""

import pytest

from sizing.lengths import Length, Step, Unit, format_length, parse_length, round_length
from sizing.weights import WeightUnit, format_weight, parse_weight


def tenths_of_mm(text: str) -> str:
    return format_length(parse_length(f"{text} mm", Unit.MM), Unit.MM)


@pytest.mark.parametrize(
    ("number", "rounded"),
    [("45.7500", "45.8"), ("45.4500", "45.4"), ("45.46", "45.5"), ("45.44", "45.4")],
)
def test_astm_e29_lengths(number, rounded):
    """A length at half a step goes to the even mark, any other to the nearest (E29's printed ties)."""
    assert tenths_of_mm(number) == rounded


@pytest.mark.parametrize(
    ("number", "rounded"),
    [("45.7500", "45.8"), ("45.4500", "45.4"), ("45.45001", "45.5"), ("45.45105", "45.5")],
)
def test_astm_e29_weights(number, rounded):
    """All four printed examples of E29, on weights, which are exact to the nanogram."""
    shown = format_weight(parse_weight(f"{number} kg", WeightUnit.KG), WeightUnit.KG, mark=False)
    assert shown == rounded


def test_iowa_dot():
    """1.861 to two places is 1.86 by either rule (Iowa DOT I.M. 202)."""
    weight = parse_weight("1.861 kg", WeightUnit.KG)
    assert format_weight(weight, WeightUnit.KG, places=2) == "1.86 kg"


def test_one_step():
    """1.347 to one place is 1.3, not 1.4 by way of 1.35 (LS-100)."""
    assert tenths_of_mm("1.347") == "1.3"
    weight = parse_weight("1.347 kg", WeightUnit.KG)
    assert format_weight(weight, WeightUnit.KG) == "1.3 kg"


def test_one_step_on_a_tape():
    """A length just under a tie at 1/16 in is not carried over it by way of 1/32 or 1/64 in."""
    just_under = Length(parse_length("33 15/32", Unit.INCH) - 1)
    in_two = round_length(round_length(just_under, Step.SIXTY_FOURTH), Step.SIXTEENTH)
    assert format_length(in_two, Unit.INCH) == "33 1/2"
    in_one = round_length(just_under, Step.SIXTEENTH)
    assert format_length(in_one, Unit.INCH) == "33 7/16"


@pytest.mark.parametrize(
    ("inches", "rounded"),
    [
        ("33.40625", "33 3/8"),
        ("33.46875", "33 1/2"),
        ("33.21875", "33 1/4"),
        ("33.28125", "33 1/4"),
        ("0.03125", "0"),
        ("0.09375", "1/8"),
    ],
)
def test_ties_at_a_sixteenth(inches, rounded):
    """Every kind of tie at 1/16 in goes to the even mark."""
    length = round_length(parse_length(inches, Unit.INCH), Step.SIXTEENTH)
    assert format_length(length, Unit.INCH) == rounded
