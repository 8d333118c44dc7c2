"""The counter's sash fields are read together, and each wrong one has its own sentence."""

import pytest

from sizing.glass import (
    FRAMES,
    THICKNESSES,
    SashError,
    estimate_sash_weight,
    read_sash,
    read_thickness,
)
from sizing.lengths import LengthError, Unit, parse_length

SASH = {
    "glass_width": "26 1/2",
    "glass_height": "1' 10\"",
    "thickness": "double strength",
    "panes": "1",
    "frame": "pine",
}


def inch(text: str):
    return parse_length(text, Unit.INCH)


def test_a_whole_sash():
    """Five good fields give the estimate of that sash."""
    expected = estimate_sash_weight(inch("26 1/2"), inch("22"), inch("1/8"), 1, FRAMES["pine"])
    assert read_sash(SASH, Unit.INCH) == expected


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("glass_width", "2-6", "“2-6” can be read as 2' 6\" or two lengths: type the one you mean."),
        ("glass_height", "", 'This length is empty: type a length such as 33 5/8" or 854 mm.'),
        ("thickness", "", 'No glass thickness was given: type 1/8", 3 mm or double strength.'),
        (
            "thickness",
            "3",
            "“3” is no thickness of one pane, which is 2 to 25 mm: type 1/8\", 3 mm or double strength.",
        ),
        ("panes", "4", "The number of panes was not read: type 1, 2 or 3."),
        ("panes", "", "The number of panes was not read: type 1, 2 or 3."),
        ("frame", "steel", "The frame was not read: choose one of pine, hardwood, vinyl, aluminum."),
    ],
)  # fmt: skip
def test_one_wrong_field(field, text, sentence):
    """A wrong field is named with its sentence, and the others are not."""
    with pytest.raises(SashError) as refused:
        read_sash(SASH | {field: text}, Unit.INCH)
    assert refused.value.problems == {field: sentence}


def test_nothing_typed():
    """Every missing field has its sentence."""
    with pytest.raises(SashError) as refused:
        read_sash({}, Unit.INCH)
    assert set(refused.value.problems) == set(SASH)


@pytest.mark.parametrize(
    ("text", "unit", "counted"),
    [
        ("Single Strength", Unit.INCH, "3/32"),
        ("double  strength ", Unit.MM, "1/8"),
        ("3/32", Unit.INCH, "3/32"),
        ('1/8"', Unit.MM, "1/8"),
        ("3", Unit.MM, "3 mm"),
        ("3 mm", Unit.INCH, "3 mm"),
        ("1/4", Unit.INCH, "6 mm"),
        ("5/16", Unit.INCH, "8 mm"),
        ("3/8", Unit.INCH, "10 mm"),
        ("3.2 mm", Unit.MM, "3.2 mm"),
    ],
)
def test_thicknesses(text, unit, counted):
    """A thickness is named or measured; from 1/4 in on the metric sheet behind it is counted."""
    assert read_thickness(text, unit) == inch(counted)


@pytest.mark.parametrize("text", ["1 mm", "26 mm", "1/32", "2 in"])
def test_no_pane_is_so_thick(text):
    """A thickness no single pane has is refused."""
    with pytest.raises(LengthError, match="no thickness of one pane"):
        read_thickness(text, Unit.INCH)


@pytest.mark.parametrize("thickness", THICKNESSES, ids=lambda t: t.label)
def test_listed_thicknesses(thickness):
    """Every thickness on the list is read by its label, and counted within 8 % of its nominal."""
    assert read_thickness(thickness.label, Unit.INCH) == thickness.counted
    assert abs(thickness.counted / thickness.nominal - 1) < 0.08
