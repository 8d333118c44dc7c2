"""A customer hears of a move once, not daily, and only of one that would surprise them."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
import time_machine
from hypothesis import given
from hypothesis import strategies as st

from ordering.attention import really_moved
from ordering.events import watch_all, write
from ordering.expected import forget
from ordering.models import Notice, ToldWindow
from ordering.states import Act, Window
from tests.ordering.placed import CLERK, load_shop, sent_order

D = date(2030, 5, 1)
days = st.integers(0, 60).map(lambda n: D + timedelta(n))
windows = st.tuples(days, days, days).map(lambda three: Window(*sorted(three)))


@given(windows, windows)
def test_told_is_then_no_move(told, now):
    """What has just been told is never a move again, whatever was told before."""
    assert not really_moved(now, now)
    if really_moved(told, now):
        assert not told.earliest <= now.likely <= told.latest


def watched(day):
    forget()
    with time_machine.travel(f"{day} 08:00", tick=False):
        return watch_all()


def kinds():
    return list(Notice.objects.exclude(event=None).values_list("kind", flat=True))


@pytest.fixture
def order(db):
    with time_machine.travel("2030-03-04 09:00", tick=False):
        load_shop()
        return sent_order()[0]


def test_quiet_while_it_is_inside(order):
    """Four weeks of days on which nothing surprising happens cause no mail."""
    for day in range(5, 30, 3):
        assert watched(f"2030-03-{day:02}") == 0
    assert kinds() == ["placed"]


def test_a_silent_order_is_told_of_once_a_window(order):
    """Watched daily while it does not ship, it tells few windows: each a surprise to the last, days apart."""
    for day in range(30, 66):
        watched(date(2030, 3, 4) + timedelta(day))
    told = list(ToldWindow.objects.order_by("pk"))
    windows = [Window(t.earliest, t.likely, t.latest) for t in told]
    assert len(told) > 2
    assert all(really_moved(before, now) for before, now in pairwise(windows))
    assert min((b.told_on - a.told_on).days for a, b in pairwise(told)) >= 5
    assert kinds() == ["placed", *["moved"] * (len(told) - 1)]


def test_a_delay_is_told_once(order):
    """Found out only after the last day told, a delay is told with a new window; then there is silence."""
    latest = order.lines.get().told_latest
    assert watched(latest + timedelta(1)) == 1
    assert kinds() == ["placed", "delayed"]
    told = ToldWindow.objects.last()
    assert told.earliest > latest
    assert f"{latest.day} {latest:%B}" in Notice.objects.get(kind="delayed").body
    for more in range(1, 4):
        assert watched(latest + timedelta(more)) == 0
    assert kinds() == ["placed", "delayed"]


def test_on_hold_nobody_is_told(order):
    """A line on hold waits for the customer, not the other way round."""
    with time_machine.travel("2030-03-05 09:00", tick=False):
        write(order.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    assert watched("2030-09-02") == 0
