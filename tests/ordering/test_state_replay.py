"""Whatever happens in whatever order, pieces are neither made nor lost, and the log gives the state again."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ordering.replay import after, replay
from ordering.states import STAYS, Act, Cause, Happened, NotAllowed, OrderState

ACTS = st.sampled_from([
    Act.SENT, Act.ACKNOWLEDGED, Act.PROMISED, Act.MOVED, Act.MAKING, Act.LEFT, Act.ARRIVED, Act.HANDED,
    Act.HELD, Act.RELEASED, Act.CANCELLED, Act.REMADE, Act.REFUSED,
])  # fmt: skip
TRIES = st.lists(
    st.tuples(ACTS, st.integers(1, 2), st.integers(1, 4), st.integers(1, 28)), max_size=40
)


def placed(first, second):
    lines = {"1": {"quantity": first, "made": True}, "2": {"quantity": second, "made": False}}
    return Happened(1, Act.PLACED, date(2030, 1, 1), data={"lines": lines})


@settings(max_examples=300, deadline=None)
@given(st.integers(1, 6), st.integers(1, 6), TRIES)
def test_random_histories(first, second, tries):
    """handed <= arrived <= left <= going for a made line, after every event that is let through."""
    log = [placed(first, second)]
    state = replay(log)
    for act, line, count, day in tries:
        data = {"promised": {str(line): f"2030-05-{day:02}"}, "no_return": True}
        if act is Act.REMADE:
            new = {"line": len(state.lines) + 1, "quantity": count, "made": True}
            data |= new | state.lines[line].spoiled(count, list(Cause)[day % len(Cause)])
        event = Happened(len(log) + 1, act, date(2030, 2, 1), {line: count}, data, "why")
        try:
            state = after(state, event)
        except NotAllowed:
            continue
        log.append(event)
        for now in state.lines.values():
            assert 0 <= now.handed <= now.arrived <= now.quantity
            assert now.arrived <= now.left or not now.made
            assert now.left <= now.going <= now.quantity
            assert now.handed + now.broken <= now.arrived and min(now.lost, now.broken) >= 0
            assert now.handed <= now.wanted
            assert now.is_open == (now.handed < now.wanted)
            assert not (now.is_refused and now.promised_on)
    assert replay(log) == state


def test_taken_back_leaves_no_trace():
    """An event taken back counts for nothing but the numbering."""
    sent = Happened(2, Act.SENT, date(2030, 1, 2), {1: 3})
    left = Happened(3, Act.LEFT, date(2030, 2, 1), {1: 3})
    back = Happened(4, Act.TAKEN_BACK, date(2030, 2, 2), {1: 0}, {"event": 3}, "the wrong line")
    before = replay([placed(3, 1), sent])
    state = replay([placed(3, 1), sent, left, back])
    assert state.lines[1].left == 0
    assert isinstance(before, OrderState)
    assert state.lines[1].begun == before.lines[1].begun
    assert state.version == 4


@pytest.mark.parametrize("act", sorted(STAYS))
def test_what_stays_is_not_taken_back(act):
    """No log takes back what was written for good, whoever wrote it down."""
    data = {"lines": {"1": {"quantity": 3, "made": True}}, "line": 3, "quantity": 1, "made": True}
    log = [
        placed(3, 1),
        Happened(2, Act.SENT, date(2030, 1, 2), {1: 3}),
        Happened(3, Act.LEFT, date(2030, 2, 1), {1: 3}),
    ]
    if act is Act.TAKEN_BACK:
        data = {"event": 3}
    if act not in (Act.PLACED, Act.SENT):
        log.append(Happened(4, act, date(2030, 2, 2), {1: 1}, data, "why", "desk"))
    number = next(event.number for event in log if event.act is act)
    back = Happened(
        len(log) + 1, Act.TAKEN_BACK, date(2030, 2, 3), {1: 0}, {"event": number}, "why"
    )
    with pytest.raises(NotAllowed, match="cannot be taken back"):
        replay([*log, back])


def test_nothing_is_taken_back_twice():
    """Of two that take the same event back the second is refused."""
    log = [placed(3, 1), Happened(2, Act.HELD, date(2030, 1, 2), {1: 3}, why="paint")]
    back = {"act": Act.TAKEN_BACK, "on": date(2030, 1, 3), "data": {"event": 2}, "why": "oops"}
    with pytest.raises(NotAllowed, match="already"):
        replay([*log, Happened(3, **back), Happened(4, **back)])
