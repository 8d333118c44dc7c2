"""A number that looks to be in the other unit is asked about: neither converted nor made specially."""

import pytest

from sizing.resolver.lines import answer_lines
from tests.sizing.desk import ask_desk, family


@pytest.mark.parametrize(
    ("name", "measures", "asked", "words"),
    [
        (
            "balance",
            {"sash_height": "41"},
            "sash_height",
            "The sash height looks to be in the other unit: 41 mm is far from every size, 41 in (1041.4 mm) is "
            "not. Ask which it is, and type it with its unit.",
        ),
        (
            "liner",
            {"upper_glass": "390"},
            "upper_glass",
            "The upper glass height looks to be in the other unit: 390 in is far from every size, 390 mm "
            "(15 11/32 in) is not. Ask which it is, and type it with its unit.",
        ),
    ],
)
def test_neither_converted_nor_special(name, measures, asked, words):
    """Far in the family's unit and not in the other: the one question is which it is."""
    answer = ask_desk(name, **measures)
    assert (answer.outcome, answer.reason, answer.ask) == ("ask", "unit", asked)
    assert answer.text == words


def test_all_of_them_are_asked_at_once():
    """Two numbers in doubt are one question to the caller; the one that has its unit is asked no more."""
    answer = ask_desk("balance", sash_height="41", channel="39")
    assert (answer.reason, answer.ask) == ("unit", "sash_height")
    assert answer.text == (
        "These look to be in the other unit, as they stand far from every size: sash height, 41 mm or 41 in (1041.4 mm); "
        "channel of the old balance, 39 mm or 39 in (990.6 mm). Ask which they are, and type each with its unit."
    )
    answer = ask_desk("balance", sash_height="41 mm", channel="39")
    assert answer.ask == "channel" and answer.text.startswith(
        "The channel of the old balance looks"
    )


def test_asked_before_another_measure():
    """With nothing else known no further measure is taken first."""
    assert ask_desk("balance", sash_height="41").reason == "unit"
    assert ask_desk("balance", sash_height="about 41").reason == "unit"


def test_typed_with_its_unit_it_counts():
    """Who types the unit has said which they mean: the part, or a special however small."""
    assert (
        ask_desk("balance", sash_height="40 1/2 in", channel="38 5/8 in", sash_weight="9").row == 11
    )
    small = ask_desk("balance", sash_height="41 mm", channel="39 mm", sash_weight="9")
    assert (small.outcome, small.reason) == ("special", "off_table")


def test_far_in_either_unit_stays_special():
    """A number that neither unit brings near is as it was: somebody measured something else."""
    assert ask_desk("balance", sash_height="2", channel="3").reason == "off_table"


def test_settled_size_is_left_alone():
    """One wild number beside others that settle the size holds up no answer."""
    answer = ask_desk(
        upper_glass="20 1/4", lower_glass="20 1/4", opening="390", long_point="48 5/8"
    )
    assert (answer.reason, answer.row) == ("weight", 4)


def test_a_program_reads_the_same():
    """A plain number is in the family's unit as a typed one is."""
    (line,) = answer_lines(
        family("balance"), [{"id": 1, "measures": {"sash_height": 41, "channel": 39}}]
    )
    assert (line["outcome"], line["reason"], line["ask"]) == ("ask", "unit", "sash_height")
