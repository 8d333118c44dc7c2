"""A length is rounded to the nearest mark of the ruler in one step, to the even one of two."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.lengths import Length, Step, round_length

LENGTHS = st.integers(-3_200_000, 3_200_000).map(Length)
STEPS = st.sampled_from(Step)


@pytest.mark.parametrize(
    ("step", "marks", "unit"),
    [
        (Step.SIXTEENTH, 16, 8128),
        (Step.THIRTY_SECOND, 32, 8128),
        (Step.SIXTY_FOURTH, 64, 8128),
        (Step.MM, 1, 320),
        (Step.TENTH_MM, 10, 320),
    ],
)
def test_steps(step, marks, unit):
    """Each step divides its ruler's unit exactly."""
    assert step.value * marks == unit


@given(LENGTHS, STEPS)
def test_to_the_nearest_mark(length, step):
    """It lies at a mark, half a step away at most, and rounding it again changes nothing."""
    rounded = round_length(length, step)
    assert rounded % step.value == 0
    assert abs(rounded - length) * 2 <= step.value
    assert round_length(rounded, step) == rounded


@given(LENGTHS, LENGTHS, STEPS)
def test_order(one, other, step):
    """Rounding never turns the order of two lengths round."""
    short, long = sorted((one, other))
    assert round_length(short, step) <= round_length(long, step)


@given(st.integers(-6000, 6000), st.sampled_from([s for s in Step if s.value % 2 == 0]))
def test_ties(marks, step):
    """Half-way goes to the even mark, below zero as above it."""
    tie = Length(marks * step.value + step.value // 2)
    assert round_length(tie, step) // step.value == marks + marks % 2
