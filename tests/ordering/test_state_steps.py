"""A line goes one way, and only the way that is open to it."""

from datetime import date

import pytest

from ordering.replay import after
from ordering.states import Act, Happened, LineState, NotAllowed, OrderState, Step

DAY = date(2030, 3, 4)


def happen(line, act, count=1, role="manager", why="because", **data):
    event = Happened(2, act, DAY, {1: count}, data, why, role)
    return after(OrderState({1: line}), event).lines[1]


def promised(line, day="2030-04-01", act=Act.PROMISED):
    return happen(line, act, promised={"1": day})


def test_the_whole_way():
    """Placed, sent, acknowledged, being made, left, at our dock, handed over."""
    line = LineState(1, True)
    steps = [line.step]
    for act in (Act.SENT, Act.ACKNOWLEDGED, Act.MAKING, Act.LEFT, Act.ARRIVED, Act.HANDED):
        line = happen(line, act)
        steps.append(line.step)
    assert steps == [
        Step.PLACED, Step.SENT, Step.ACKNOWLEDGED, Step.MAKING, Step.LEFT, Step.DOCK, Step.HANDED,
    ]  # fmt: skip
    assert not line.is_open


def test_from_our_own_shelf():
    """A line without a factory goes to the dock without one, and cannot be sent to any."""
    line = LineState(2, False)
    with pytest.raises(NotAllowed, match="own shelf"):
        happen(line, Act.SENT)
    line = happen(line, Act.ARRIVED, 2)
    assert line.step is Step.DOCK
    assert happen(line, Act.HANDED, 2).step is Step.HANDED


MADE = LineState(3, True)
SENT = happen(MADE, Act.SENT)
LEFT = happen(SENT, Act.LEFT, 3)


@pytest.mark.parametrize(
    ("line", "act", "count", "words"),
    [
        (MADE, Act.ACKNOWLEDGED, 1, "placed at present"),
        (MADE, Act.MAKING, 1, "placed at present"),
        (MADE, Act.LEFT, 1, "placed at present"),
        (MADE, Act.ARRIVED, 1, "none are on the way"),
        (SENT, Act.SENT, 1, "sent to the factory at present"),
        (SENT, Act.ARRIVED, 1, "none are on the way"),
        (SENT, Act.LEFT, 4, "3 are still to leave"),
        (SENT, Act.LEFT, 0, "3 are still to leave"),
        (LEFT, Act.LEFT, 1, "left the factory already"),
        (LEFT, Act.HANDED, 1, "none are at our dock"),
        (LEFT, Act.CANCELLED, 3, "nothing of it is left to cancel"),
        (happen(SENT, Act.HELD), Act.HELD, 1, "on hold already"),
        (SENT, Act.RELEASED, 1, "not on hold"),
        (happen(MADE, Act.HELD), Act.SENT, 1, "release it first"),
    ],
)
def test_what_cannot_be(line, act, count, words):
    """A step that is not open is refused with one sentence that says what is."""
    with pytest.raises(NotAllowed, match=words):
        happen(line, act, count)


def test_hold_stops_the_shop_but_no_fact():
    """What the factory ships while the shop holds a line has left all the same."""
    held = happen(happen(SENT, Act.HELD), Act.LEFT, 3)
    assert (held.step, held.left) == (Step.HELD, 3)
    assert happen(held, Act.RELEASED).step is Step.LEFT


def test_date_moves_only_with_a_reason():
    """A second, other date is a move; a move without why is refused."""
    line = promised(SENT)
    assert line.step is Step.ACKNOWLEDGED
    with pytest.raises(NotAllowed, match="has a date already"):
        promised(line, "2030-04-09")
    with pytest.raises(NotAllowed, match="needs its reason"):
        happen(line, Act.MOVED, why=" ", promised={"1": "2030-04-09"})
    assert promised(line, "2030-04-09", Act.MOVED).promised_on == date(2030, 4, 9)


@pytest.mark.parametrize(
    ("act", "role"),
    [
        (Act.ARRIVED, "factory"), (Act.CANCELLED, "factory"), (Act.HELD, "staff"),
        (Act.SENT, "staff"), (Act.WINDOW, "manager"), (Act.LEFT, "nobody"), (Act.DEPOSIT, "staff"),
    ],
)  # fmt: skip
def test_who_may(act, role):
    """What is not a role's to write is refused, whatever the state."""
    with pytest.raises(NotAllowed, match="is for"):
        happen(LEFT, act, role=role)
