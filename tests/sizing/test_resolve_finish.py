"""The finish: asked when not said, refused when not made, and what is made is named."""

from tests.sizing.desk import ask_desk

SIZE = {"upper_glass": "23 3/4", "opening": "54 7/8", "sash_weight": "10"}
# Glass 43: everything but chalk.
NO_CHALK = {"upper_glass": "43", "opening": "93 3/8"}


def test_unsaid_is_asked_last():
    """Size and class settled, the finish is the one thing left to ask."""
    answer = ask_desk(**SIZE)
    assert (answer.outcome, answer.ask, answer.row) == ("ask", "finish", 6)
    assert "ash, slate or chalk" in answer.text


def test_case_and_spaces_do_not_matter():
    """A finish is known however it is written."""
    assert ask_desk(finish="  SLATE ", **SIZE).part.part_number == "OHL-07LS"


def test_unknown_finish_is_asked_again():
    """A finish the family does not have is named back with those it has."""
    answer = ask_desk(finish="walnut", **SIZE)
    assert (answer.outcome, answer.ask) == ("ask", "finish")
    assert "walnut" in answer.text


def test_not_offered_says_what_is():
    """A combination that is not made is special, with what is made of that size."""
    answer = ask_desk(finish="chalk", sash_weight="20", **NO_CHALK)
    assert (answer.outcome, answer.reason) == ("special", "not_offered")
    assert "ash or slate" in answer.text
    assert {p.finish for p in answer.offered} == {"ash", "slate"}


def test_other_classes_are_no_way_out_of_a_finish():
    """Once the weight is known, what is offered instead bears the same weight."""
    answer = ask_desk(finish="chalk", sash_weight="20", **NO_CHALK)
    assert {p.weight_class for p in answer.offered} == {"medium"}
    assert "light" not in answer.text and "heavy" not in answer.text


def test_finish_made_in_no_class_needs_no_weight():
    """No question is asked whose answer could not change the outcome."""
    answer = ask_desk(finish="chalk", **NO_CHALK)
    assert (answer.outcome, answer.reason) == ("special", "not_offered")


def test_single_finish_is_never_asked():
    """A family of one finish takes it as said."""
    answer = ask_desk("balance", sash_height="738", channel="691", sash_weight="4")
    assert answer.outcome == "part"
