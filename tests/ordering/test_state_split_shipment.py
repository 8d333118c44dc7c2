"""A line's pieces may leave, arrive and be handed over in parts; none is counted twice."""

from datetime import date

import pytest

from ordering.states import Act, NotAllowed, Step
from tests.ordering.test_state_steps import DAY, LineState, happen


def sent(quantity):
    return happen(LineState(quantity, True), Act.SENT)


def test_words_say_what_has_left():
    """Part of a line that has left is said in its words, and its step stays where the rest is."""
    line = happen(sent(5), Act.LEFT, 2)
    assert (line.step, line.words) == (Step.SENT, "Sent to the factory; 2 of 5 left the factory")
    assert line.awaits_factory
    assert line.left_on is None


def test_the_last_piece_decides():
    """A line has left on the day its last piece left."""
    line = happen(happen(sent(5), Act.LEFT, 2), Act.LEFT, 3)
    assert (line.step, line.left_on) == (Step.LEFT, DAY)


def test_no_piece_overtakes():
    """No more pieces arrive than left, none are handed over that have not arrived."""
    line = happen(sent(5), Act.LEFT, 2)
    with pytest.raises(NotAllowed, match="2 are on the way"):
        happen(line, Act.ARRIVED, 3)
    line = happen(line, Act.ARRIVED, 1)
    with pytest.raises(NotAllowed, match="1 is at our dock"):
        happen(line, Act.HANDED, 2)
    assert happen(line, Act.HANDED, 1).words.endswith("1 of 5 handed over")


def test_cancelling_the_rest():
    """The manager may cancel what has not left; the line is then complete with what has."""
    line = happen(happen(sent(5), Act.LEFT, 2), Act.CANCELLED, 3, no_return=True)
    assert (line.going, line.cancelled, line.step) == (2, 3, Step.LEFT)
    done = happen(happen(line, Act.ARRIVED, 2), Act.HANDED, 2)
    assert done.step is Step.HANDED


def test_never_before_it_was_sent():
    """A line cannot have left before it went to the factory."""
    from ordering.replay import after
    from ordering.states import Happened, OrderState

    early = Happened(3, Act.LEFT, date(2030, 3, 1), {1: 1}, {}, "", "factory")
    with pytest.raises(NotAllowed, match="before it was sent"):
        after(OrderState({1: sent(5)}), early)
