"""When a question is worth asking it is the one that helps most, and it is never asked in vain."""

import numpy as np

from sizing.resolver import Arrays, Costs, compile_table, read_opening, resolve, resolve_arrays
from sizing.resolver.decision import _sums
from tests.sizing.desk import ask_desk, family


def test_long_point_alone_asks_on():
    """The old part's length finds the row; one more measure rules an unequal split out."""
    answer = ask_desk(long_point="55 5/8")
    assert (answer.outcome, answer.reason) == ("ask", "size")
    assert answer.ask in ("upper_glass", "lower_glass")
    assert "confirms glass 23 3/4 in" in answer.text


def test_question_carries_the_how_to():
    """The words of the question are the table's own way to take the measure."""
    assert "Slide a thin card" in ask_desk(long_point="55 5/8").text


def test_what_nobody_can_measure_is_not_asked():
    """A measure marked as impossible is passed over for the next best, and in the end for none."""
    assert ask_desk(upper_glass="22 3/4").ask == "lower_glass"
    assert ask_desk(upper_glass="22 3/4", lower_glass=None).ask == "opening"
    assert ask_desk(upper_glass="22 3/4", lower_glass=None, opening=None).ask == "long_point"
    last = ask_desk(upper_glass="22 3/4", lower_glass=None, opening=None, long_point=None)
    assert (last.outcome, last.reason) == ("special", "low_certainty")
    assert "measured again" in last.text


def test_nothing_known_asks_for_something():
    """An empty opening is the start of a call, not an error."""
    answer = ask_desk()
    assert (answer.outcome, answer.reason) == ("ask", "size")


def test_dear_questions_are_not_asked():
    """The costs are settings: when a question costs more than a special quote, none is asked."""
    compiled = compile_table(family("liner").table, Costs(wrong=100, special=8, question=50))
    opening = read_opening(compiled.table, {"upper_glass": "22 3/4"})
    assert resolve(compiled, [opening])[0].outcome == "special"


def test_what_was_sold_leans_the_answer():
    """With nothing measured, the size that sells is the likelier one."""
    table = family("liner").table
    sold = [0] * len(table.rows)
    sold[3] = 500
    compiled = compile_table(table, sold=sold)
    nothing = Arrays.of_lengths(np.full((1, len(compiled.measures)), -1))
    assert resolve_arrays(compiled, nothing).sizes.row.tolist() == [3]


def test_lone_number_is_never_the_end():
    """One number far from every size may be half typed: it asks for another, not for the factory."""
    for said in ("2", "60"):
        assert ask_desk(upper_glass=said).outcome == "ask"


def test_easier_measure_comes_first():
    """Where two questions tell about as much, the one higher up in the table's sheet is asked."""
    assert ask_desk(upper_glass="23 3/4").ask in ("lower_glass", "opening")


def test_what_may_be_asked_on_is_worth_more():
    """Glass 46 1/16 in where the row has 46 1/2: the other glass may leave it open, but the long point is left to
    settle that, so it is asked; with nobody to measure one of the two the size is taken as it stands."""
    sizes = {"upper_glass": "46 1/16", "opening": "100 3/8"}
    assert ask_desk(**sizes).ask == "lower_glass"
    assert ask_desk(**sizes, long_point=None).ask == "sash_weight"


def test_every_sum_of_two_glasses_is_weighed():
    """What the two glasses of a window come to is looked at whole for the smallest window as for the largest."""
    _first, _step, densities = _sums(family("liner"))
    assert np.ptp(densities.sum(axis=1)) < 1e-3
