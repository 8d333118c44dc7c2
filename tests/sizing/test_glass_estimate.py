"""A sash's weight is worked out from its glass and frame, with the error it has."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.glass import FRAMES, GLASS_ONLY, Frame, estimate_sash_weight
from sizing.lengths import PER_MM, Length
from sizing.weights import PER_KG

SIDES = st.integers(100 * PER_MM, 2000 * PER_MM).map(Length)
THICK = st.integers(2 * PER_MM, 12 * PER_MM).map(Length)
PANES = st.integers(1, 3)


def mm(value: int) -> Length:
    return Length(value * PER_MM)


def test_a_square_metre():
    """A square metre of glass a millimetre thick is 2.5 kg, to the nanogram."""
    assert estimate_sash_weight(mm(1000), mm(1000), mm(1), 1, GLASS_ONLY).weight * 2 == 5 * PER_KG


@given(SIDES, SIDES, THICK, PANES)
def test_glass_alone_is_linear(width, height, thickness, panes):
    """Twice the panes, the thickness or a side is twice the glass."""
    once = estimate_sash_weight(width, height, thickness, panes, GLASS_ONLY).weight
    for twice in (
        estimate_sash_weight(Length(2 * width), height, thickness, panes, GLASS_ONLY),
        estimate_sash_weight(width, Length(2 * height), thickness, panes, GLASS_ONLY),
        estimate_sash_weight(width, height, Length(2 * thickness), panes, GLASS_ONLY),
        estimate_sash_weight(width, height, thickness, 2 * panes, GLASS_ONLY),
    ):
        assert abs(twice.weight - 2 * once) <= 1


@given(SIDES, SIDES, THICK, PANES, st.sampled_from(list(FRAMES.values())))
def test_on_its_side(width, height, thickness, panes, frame):
    """A sash weighs the same on its side."""
    assert estimate_sash_weight(width, height, thickness, panes, frame) == estimate_sash_weight(
        height, width, thickness, panes, frame
    )


@given(SIDES, SIDES, THICK, PANES, st.sampled_from(list(FRAMES.values())))
def test_a_frame_adds(width, height, thickness, panes, frame):
    """A frame adds weight and error to the glass's own, and the error stays under three tenths of the whole."""
    glass = estimate_sash_weight(width, height, thickness, panes, GLASS_ONLY)
    sash = estimate_sash_weight(width, height, thickness, panes, frame)
    assert sash.weight > glass.weight
    assert sash.error > glass.error
    assert sash.error < sash.weight * 0.3


def test_a_frame_of_known_section():
    """A solid frame is its outline run round the glass on its centre line."""
    # 1000 x 500 mm of glass, 50 x 40 mm of 500 kg/m3: (2 x 1.5 + 4 x 0.05) m x 0.002 m2 x 500 = 3.2 kg.
    frame = Frame("Known", (500, 500), (50, 50), (40, 40), (1, 1))
    glass = estimate_sash_weight(mm(1000), mm(500), mm(3), 1, GLASS_ONLY)
    sash = estimate_sash_weight(mm(1000), mm(500), mm(3), 1, frame)
    assert (sash.weight - glass.weight) / PER_KG == pytest.approx(3.2, abs=1e-9)
    assert sash.error == glass.error


def test_errors_add_as_squares():
    """The glass is even within 8 % and the frame within its ranges; the two errors add as squares."""
    frame = Frame("Known", (450, 550), (50, 50), (40, 40), (1, 1))
    sash = estimate_sash_weight(mm(1000), mm(500), mm(4), 1, frame)
    glass_error, frame_error = 5 * 0.08 / math.sqrt(3), 3.2 * 0.1 / math.sqrt(3)
    assert sash.error / PER_KG == pytest.approx(math.hypot(glass_error, frame_error), rel=1e-9)


def test_an_insulating_unit_has_a_seal():
    """A second pane adds its glass and the spacer and sealant round its edge."""
    one = estimate_sash_weight(mm(1000), mm(500), mm(3), 1, FRAMES["vinyl"])
    two = estimate_sash_weight(mm(1000), mm(500), mm(3), 2, FRAMES["vinyl"])
    # 3.75 kg of glass and 3 m of edge at 0.15 kg.
    assert (two.weight - one.weight) / PER_KG == pytest.approx(3.75 + 0.45, abs=1e-9)
