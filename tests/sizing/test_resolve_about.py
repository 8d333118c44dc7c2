"""A number said as "about" is taken with a wider error, and nothing is ordered by it alone."""

import pytest

from sizing.about import said_as_about
from tests.sizing.desk import ask_desk

SAID = (
    "about 20", "abt 20", "abt. 20", "approx. 20", "around 20", "roughly 20", "ca. 20", "c. 20", "~20", "~ 20",
    "≈20", "About 20", "20 or so", "20ish", "20-ish", "20 ish", "20, more or less", "20 or thereabouts",
    "unos 20", "20 aprox.", "maybe 20", "just about 20", "just under 20", "a bit over 20", "a little less than 20",
    "nearly 20", "20 and a bit", "20 maybe", "casi 20",
)  # fmt: skip
TAPED = ("20", "20 1/4", "2' 6\"", "30 cm", "c20", "", "20 strong", "just", "maybe")
REST = {"sash_weight": "12", "finish": "ash"}


@pytest.mark.parametrize("text", SAID)
def test_said_as_about(text):
    """Each way to say it leaves the number by itself."""
    plain, about = said_as_about(text)
    assert (plain.strip(), about) == ("20", True)


@pytest.mark.parametrize("text", TAPED)
def test_not_said_as_about(text):
    assert said_as_about(text) == (text, False)


def test_unit_behind_the_number_stays():
    """The words may stand before the unit or after it."""
    assert said_as_about("30ish inches")[0] == "30 inches"
    assert said_as_about("about 2' 6\" or so")[0].strip() == "2' 6\""


def test_alone_it_asks_for_another_measure():
    """With an "about" alone the next measure is asked for, whatever it lies near."""
    answer = ask_desk(upper_glass="about 20 1/4", **REST)
    assert (answer.outcome, answer.reason) == ("ask", "size")
    assert ask_desk(upper_glass="about 20 1/4", opening="about 47 7/8", **REST).outcome == "ask"


def test_all_that_can_be_had_is_about():
    """Where nothing else can be measured it is asked for itself, measured."""
    answer = ask_desk(
        opening="about 47 7/8", upper_glass=None, lower_glass=None, long_point=None, **REST
    )
    assert (answer.outcome, answer.ask) == ("ask", "opening")
    assert answer.text.startswith("Nothing is ordered by an “about”. Ask for the opening height.")


def test_beside_what_was_measured_it_confirms():
    """Half an inch off is no misfit of an "about", as it would be of a number from a tape."""
    measured = {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "47 7/8"}
    answer = ask_desk(**measured, long_point="about 48", **REST)
    assert answer.part.part_number == "OHL-05MA"
    assert answer.readings[-1].words == "agrees (said as “about”)"
    taped = ask_desk(**measured, long_point="48", **REST)
    assert taped.readings[-1].verdict != "agrees"


def test_it_decides_no_part():
    """What the measured numbers leave open is not closed by an "about": it is asked for, measured."""
    measured = {"upper_glass": "19 1/4", "lower_glass": None, "long_point": None}
    exact = ask_desk(**measured, opening="47 7/8", **REST)
    assert exact.part is not None
    answer = ask_desk(**measured, opening="about 47 7/8", **REST)
    assert (answer.outcome, answer.row, answer.ask) == ("ask", None, "opening")


def test_it_makes_no_special():
    """Nor is a window called special by an "about"."""
    answer = ask_desk(upper_glass="about 16", lower_glass="about 24", opening="47 7/8", **REST)
    assert answer.outcome == "ask"
    assert (
        ask_desk(upper_glass="16", lower_glass="24", opening="47 7/8", **REST).outcome == "special"
    )


def test_a_special_has_all_of_it_measured():
    """Whatever the sashes say by themselves, the factory cuts by every number it is given."""
    sashes = {"upper_glass": "16", "lower_glass": "24"}
    assert ask_desk(**sashes, **REST).outcome == "special"
    answer = ask_desk(**sashes, opening="about 48", **REST)
    assert (answer.outcome, answer.ask) == ("ask", "opening")


def test_a_weight_is_no_about():
    """A weight class begins at an ounce: the sentence says what to do instead."""
    from sizing.resolver import OpeningError

    with pytest.raises(OpeningError) as refused:
        ask_desk(opening="47 7/8", sash_weight="about 12")
    assert "type what the scale shows, or leave it empty" in str(refused.value)
