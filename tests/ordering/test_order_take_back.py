"""An event written by mistake is taken back by another one; what later ones build on stays."""

import pytest

from ordering.events import take_back, write
from ordering.logged import state_of
from ordering.states import Act, NotAllowed
from tests.ordering.placed import CLERK, load_shop, sent_order

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    return sent_order()[0]


@pytest.fixture
def order(built):
    return built


def test_the_line_is_as_before(order):
    """The count is right again, and both events stay in the log."""
    wrong = write(order.pk, Act.LEFT, {1: 3}, CLERK)
    take_back(order.pk, wrong.number, "the wrong order", CLERK)
    assert state_of(order).lines[1].left == 0
    assert order.lines.get().left_on is None
    assert [e.act for e in order.events.all()][-2:] == ["left", "taken_back"]


def test_later_events_hold_it(order):
    """Pieces that have arrived must have left: that they left can't be taken back."""
    left = write(order.pk, Act.LEFT, {1: 3}, CLERK)
    write(order.pk, Act.ARRIVED, {1: 3}, CLERK)
    with pytest.raises(NotAllowed):
        take_back(order.pk, left.number, "oops", CLERK)
    assert state_of(order).lines[1].arrived == 3


@pytest.mark.parametrize("number", [1, 2, 99])
def test_what_stays(order, number):
    """The placing and the sending can't be taken back, nor what is not there."""
    with pytest.raises(NotAllowed, match="cannot be taken back"):
        take_back(order.pk, number, "oops", CLERK)


def test_only_once(order):
    """A second taking back of the same event is refused."""
    wrong = write(order.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    take_back(order.pk, wrong.number, "oops", CLERK)
    with pytest.raises(NotAllowed, match="already"):
        take_back(order.pk, wrong.number, "oops", CLERK)
