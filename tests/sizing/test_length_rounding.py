"""A length is rounded to a mark of the ruler in one step, by a tie rule that is named."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.lengths import Length, Step, Ties, round_length

LENGTHS = st.integers(-3_200_000, 3_200_000).map(Length)
STEPS = st.sampled_from(Step)
TIES = st.sampled_from(Ties)


@pytest.mark.parametrize(
    ("step", "marks", "unit"),
    [
        (Step.SIXTEENTH, 16, 8128),
        (Step.THIRTY_SECOND, 32, 8128),
        (Step.SIXTY_FOURTH, 64, 8128),
        (Step.MM, 1, 320),
        (Step.HALF_MM, 2, 320),
        (Step.TENTH_MM, 10, 320),
    ],
)
def test_steps(step, marks, unit):
    """Each step divides its ruler's unit exactly."""
    assert step.value * marks == unit


@given(LENGTHS, STEPS, TIES)
def test_again(length, step, ties):
    """Rounding what is rounded changes nothing."""
    rounded = round_length(length, step, ties)
    assert rounded % step.value == 0
    assert round_length(rounded, step, ties) == rounded


@given(LENGTHS, STEPS, TIES)
def test_how_far(length, step, ties):
    """Nearest moves a length by half a step at most; down never makes it longer."""
    moved = abs(round_length(length, step, ties)) - abs(length)
    if ties is Ties.DOWN:
        assert -step.value < moved <= 0
    else:
        assert abs(moved) * 2 <= step.value


@given(LENGTHS, LENGTHS, STEPS, TIES)
def test_order(one, other, step, ties):
    """Rounding never turns the order of two lengths round."""
    short, long = sorted((one, other))
    assert round_length(short, step, ties) <= round_length(long, step, ties)


@given(st.integers(0, 6000), st.sampled_from([s for s in Step if s.value % 2 == 0]))
def test_ties(marks, step):
    """Half-way goes to the even mark, or up, or down, as the rule says."""
    tie = Length(marks * step.value + step.value // 2)
    assert round_length(tie, step) // step.value == marks + marks % 2
    assert round_length(tie, step, Ties.HALF_UP) // step.value == marks + 1
    assert round_length(tie, step, Ties.DOWN) // step.value == marks
