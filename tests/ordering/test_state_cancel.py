"""Cancelling: freely until it is being made, then only by the manager and with the no-return notice."""

import pytest

from ordering.states import Act, NotAllowed, Step
from tests.ordering.test_state_steps import MADE, SENT, happen

MAKING = happen(SENT, Act.MAKING)


@pytest.mark.parametrize(
    "line", [MADE, SENT, happen(SENT, Act.HELD)], ids=["placed", "sent", "held"]
)
def test_before_it_is_made_the_counter_may(line):
    """Placed, sent or on hold, the counter cancels with a reason."""
    assert happen(line, Act.CANCELLED, role="counter").step is Step.CANCELLED


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
    assert happen(MAKING, Act.CANCELLED, no_return=True).step is Step.CANCELLED
