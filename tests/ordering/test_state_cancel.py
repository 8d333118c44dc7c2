"""Cancelling: freely until it is being made, then only by the manager and with the no-return notice."""

from dataclasses import replace

import pytest

from ordering.states import Act, NotAllowed, Step
from tests.ordering.test_state_steps import MADE, SENT, happen

MAKING = happen(SENT, Act.MAKING)


@pytest.mark.parametrize(
    "line", [MADE, SENT, happen(SENT, Act.HELD)], ids=["placed", "sent", "held"]
)
def test_before_it_is_made_the_counter_may(line):
    """Placed, sent or on hold, the counter cancels with a reason."""
    assert happen(line, Act.CANCELLED, line.quantity, role="counter").step is Step.CANCELLED


def test_no_reason_no_cancelling():
    """A cancellation without its reason is refused."""
    with pytest.raises(NotAllowed, match="needs its reason"):
        happen(MADE, Act.CANCELLED, why="")


def test_being_made_the_counter_may_not():
    """Once it is being made the counter is sent to the manager."""
    with pytest.raises(NotAllowed, match="only the manager"):
        happen(MAKING, Act.CANCELLED, role="counter", no_return=True)


def test_being_made_needs_the_notice():
    """The manager cancels only after the customer was told that it can't be returned."""
    with pytest.raises(NotAllowed, match="neither returned nor paid back"):
        happen(MAKING, Act.CANCELLED)
    assert happen(MAKING, Act.CANCELLED, MAKING.quantity, no_return=True).step is Step.CANCELLED


def test_a_part_of_a_line():
    """What is not cancelled goes on as it was, on hold too; with the last of it the hold ends."""
    held = happen(replace(SENT, quantity=5), Act.HELD)
    part = happen(held, Act.CANCELLED, 2)
    assert (part.going, part.cancelled, part.step) == (3, 2, Step.HELD)
    assert part.words == "On hold; was sent to the factory; 2 cancelled"
    assert happen(part, Act.CANCELLED, 3).step is Step.CANCELLED


def test_no_more_than_is_left():
    """Logs of before name all pieces of a line, those that had left among them."""
    line = happen(replace(SENT, quantity=5), Act.LEFT, 2)
    assert happen(line, Act.CANCELLED, 5, no_return=True).cancelled == 3
