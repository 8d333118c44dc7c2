"""The sash weight chooses the class: inside one band decides, anything else asks or is special."""

from dataclasses import replace

import pytest

from sizing.resolver import compile_table, read_opening, resolve
from tests.sizing.desk import ask_desk, family

# Row 7 of the liner: light 5 to 10.5 lb, medium to 15, heavy to 22. Row 20 (glass 46 1/2): light 9.5 to
# 18.5, medium to 27.5, heavy 28.25 to 41.5: three quarters of a pound belong to no class.
SIZED = {"upper_glass": "23 3/4", "opening": "54 7/8"}
SIZE = {**SIZED, "finish": "ash"}
TALL = {"upper_glass": "46 1/2", "opening": "100 3/8", "finish": "ash"}


@pytest.mark.parametrize(
    ("size", "weight", "number"),
    [
        (SIZE, "7 lb", "OHL-07LA"),
        (SIZE, "12 1/2", "OHL-07MA"),
        (SIZE, "20 lb 8 oz", "OHL-07HA"),
        (SIZE, "9 kg", "OHL-07HA"),
        (SIZE, "10.5", "OHL-07LA"),
        (SIZE, "15", "OHL-07MA"),
        (SIZE, "4.75", "OHL-07LA"),
        (TALL, "27.6", "OHL-20MA"),
    ],
)
def test_one_band_decides(size, weight, number):
    """Inside a band; on a shared edge the lighter class; just outside, within the scale's error."""
    assert ask_desk(sash_weight=weight, **size).part.part_number == number


@pytest.mark.parametrize(
    ("size", "weight"), [(SIZE, "30 lb"), (SIZE, "3"), (TALL, "27.875"), (TALL, "60")]
)
def test_no_band_is_special(size, weight):
    """Beyond the bands, or in a gap that the scale's error does not settle: special, with the bands."""
    answer = ask_desk(sash_weight=weight, **size)
    assert (answer.outcome, answer.reason) == ("special", "weight")
    assert "light" in answer.text and "heavy" in answer.text
    assert answer.row is not None


def test_bands_are_said_to_the_hundredth():
    """A band from 28.25 lb is not said as from 28.2: a weight of 28.2 would seem to be in it."""
    assert "heavy 28.25 to 41.5 lb" in ask_desk(sash_weight="60", **TALL).text


def test_no_weight_asks_after_the_size_is_settled():
    """The row is filled while the weight is still to come."""
    answer = ask_desk(**SIZE)
    assert (answer.outcome, answer.ask, answer.row) == ("ask", "sash_weight", 6)


def test_nobody_can_weigh_and_nothing_to_estimate():
    """Without a weight and without a way to one the class cannot be told."""
    answer = ask_desk(sash_weight=None, **SIZE)
    assert (answer.outcome, answer.reason) == ("special", "weight")


SASH = {"thickness": "1/8", "panes": "1", "frame": "pine"}


def test_estimate_inside_one_band_decides():
    """Far enough from a band's edge the glass tells the class as well as a scale: 12.5 lb is medium."""
    answer = ask_desk(sash=SASH | {"glass_width": "28"}, **SIZE)
    assert answer.part.part_number == "OHL-07MA"


def test_estimate_near_an_edge_asks_for_the_scale():
    """An estimate whose error reaches two classes is worth one trip to the scale, if anyone can."""
    near = SASH | {"glass_width": "22"}
    answer = ask_desk(sash=near, **SIZE)
    assert (answer.outcome, answer.ask) == ("ask", "sash_weight")
    answer = ask_desk(sash=near, sash_weight=None, **SIZE)
    assert (answer.outcome, answer.reason) == ("special", "weight")


def test_scale_beats_estimate():
    """A weight from the scale is taken even where the glass was described too."""
    answer = ask_desk(sash=SASH | {"glass_width": "28"}, sash_weight="8", **SIZE)
    assert answer.part.part_number == "OHL-07LA"


def test_estimate_partly_above_every_class_asks_for_the_scale():
    """An estimate that reaches past the heaviest class is weighed, not taken for that class."""
    wide = {"thickness": "1/8", "panes": "2", "frame": "pine", "glass_width": "30"}
    answer = ask_desk(upper_glass="27 1/4", lower_glass="27 1/4", finish="ash", sash=wide)
    assert (answer.outcome, answer.ask) == ("ask", "sash_weight")


def test_a_band_may_be_open_at_either_end():
    """Without a lower bound the lightest sash is in the class, without an upper one the heaviest."""
    table = family("liner").table
    ends = {"light": {"weight_min": None}, "heavy": {"weight_max": None}}
    parts = tuple(replace(part, **ends.get(part.weight_class, {})) for part in table.parts)
    compiled = compile_table(replace(table, parts=parts))
    found = [
        resolve(compiled, [read_opening(table, {**SIZED, "sash_weight": weight}, finish="ash")])[0]
        for weight in ("1 oz", "90 lb")
    ]
    assert [answer.part.part_number for answer in found] == ["OHL-07LA", "OHL-07HA"]
