"""A usual way to measure wrongly is seen through, named, and does not cost a wrong part."""

from tests.sizing.desk import ask_desk


def verdicts(answer):
    return {r.measure: r.verdict for r in answer.readings}


def test_visible_glass_on_both_sashes():
    """Both glasses an inch short of the opening's row: the same caller measured both alike."""
    answer = ask_desk(
        upper_glass="22 3/4", lower_glass="22 3/4", opening="54 7/8", sash_weight="10", finish="ash"
    )
    assert answer.part.part_number == "OHL-07LA"
    assert verdicts(answer) == {"upper_glass": "slip", "lower_glass": "slip", "opening": "agrees"}
    assert "only the visible glass is measured" in answer.text


def test_short_point_for_long_point():
    """The old part measured along its shorter edge still finds its row."""
    answer = ask_desk(
        long_point="55", upper_glass="23 3/4", opening="54 7/8", sash_weight="10", finish="ash"
    )
    assert answer.part.part_number == "OHL-07LA"
    assert verdicts(answer)["long_point"] == "slip"


def test_whole_inch_misread():
    """An inch misread off the tape is outvoted by the measures that agree, and said."""
    answer = ask_desk(
        upper_glass="23 3/4", lower_glass="23 3/4", opening="54 7/8", long_point="56 5/8",
        sash_weight="10", finish="ash",
    )  # fmt: skip
    assert answer.part.part_number == "OHL-07LA"
    assert "a whole inch misread" in answer.text


def test_feet_and_inches_mixed():
    """4' 6 7/8" written down as 46 7/8 is recognised for what it is."""
    answer = ask_desk(
        opening="46 7/8", upper_glass="23 3/4", lower_glass="23 3/4", long_point="55 5/8",
        sash_weight="10", finish="ash",
    )  # fmt: skip
    assert answer.part.part_number == "OHL-07LA"
    assert "feet and inches mixed" in answer.text


def test_one_glass_an_inch_short_asks_for_the_other():
    """A short glass alone may be a slip or an unequal split: one question tells, so it is asked."""
    answer = ask_desk(upper_glass="22 3/4", opening="54 7/8")
    assert (answer.outcome, answer.ask) == ("ask", "lower_glass")


def test_slip_of_the_balance_family():
    """A slip declared in a millimetre table is seen in millimetres."""
    answer = ask_desk("balance", channel="708", sash_height="738", sash_weight="4")
    assert verdicts(answer)["channel"] == "slip"
    assert "about 17 mm over" in answer.text


def test_a_slip_on_one_sash_makes_no_unequal_window():
    """One glass seen only between its stops is no oriel, and brings no caution of one."""
    answer = ask_desk(
        upper_glass="23 3/4", lower_glass="22 5/8", opening="54 7/8", sash_weight="10", finish="ash"
    )
    assert answer.part.part_number == "OHL-07LA"
    assert (answer.split.kind, answer.split.upper_share) == ("equal", 0.5)
    assert "egress" not in answer.cautions


def test_a_height_that_nothing_explains_stays_in_the_split():
    """What fits no slip may be a true unequal window after all: the split is shown as measured."""
    answer = ask_desk(
        upper_glass="23 3/4", lower_glass="30 1/2", opening="54 7/8", long_point="55 5/8",
        sash_weight="10", finish="ash",
    )  # fmt: skip
    assert answer.row is not None and answer.split.kind == "cottage"
