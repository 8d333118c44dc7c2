"""What a line needs is kept with it, so the watch list forecasts nothing; kept and fresh say the same."""

from collections import Counter
from datetime import date
from importlib import import_module

import pytest
import time_machine
from django.apps import apps

from ordering.attention import Need
from ordering.events import acknowledge, give_dates, make_again, shipped, watch_all, write
from ordering.expected import forget
from ordering.lists import watch
from ordering.models import Order, OrderLine
from ordering.states import Act, Cause
from ordering.verifying import findings
from tests.ordering.placed import CLERK, FACTORY, load_shop, placed_order, sent_order

START = "2030-03-04 09:00"  # a Monday
DAYS = ["2030-03-05", "2030-03-11", "2030-03-15", "2030-04-15", "2030-06-03"]


pytestmark = pytest.mark.usefixtures("built")


def build():
    """An order not sent, one in silence, one with a date, one half shipped, one at rest."""
    with time_machine.travel(START, tick=False):
        load_shop()
        placed_order()
        sent_order()
        _, dated = sent_order()
        give_dates(dated.pk, {dated.lines.get().pk: date(2030, 3, 13)}, FACTORY)
        _, taken = sent_order()
        acknowledge(taken.pk, FACTORY)
        gone, going = sent_order()
        shipped(going.pk, {gone.lines.get().pk: 1}, date(2030, 3, 4), FACTORY)
        held, _ = sent_order()
        write(held.pk, Act.HELD, {1: 3}, CLERK, why="paint")


def on(day):
    forget()
    return time_machine.travel(f"{day} 09:00", tick=False)


def said():
    return [(one.item, one.factory_pk) for one in watch.watch_list()]


@pytest.mark.parametrize("day", DAYS)
def test_kept_is_what_a_fresh_look_says(day):
    """The day's look leaves the list as it was worked out fresh before it, delays that it told aside."""
    with on(day):
        watch_all()
        kept = said()
        Order.objects.update(watched_on=None)
        assert said() == kept


def test_what_the_carrier_lost_is_looked_for_no_more():
    """All that left is made again: nobody has to ask where the old line is, as soon as that is written."""
    with on("2030-04-15"):
        gone, sent = sent_order()
        line = gone.lines.get()
        shipped(sent.pk, {line.pk: 3}, date(2030, 4, 15), FACTORY)
    with on("2030-06-03"):
        watch_all()
        line.refresh_from_db()
        assert line.need == Need.ON_ITS_WAY
        make_again(line.pk, 3, Cause.CARRIER, "lost", CLERK, tells=False)
        line.refresh_from_db()
        assert (line.need, line.is_open) == (None, False)
        assert list(findings()) == []
        # As an older version left it; an upgrade mends it.
        OrderLine.objects.filter(pk=line.pk).update(need=Need.ON_ITS_WAY)
        assert len(list(findings())) == 1
        import_module("ordering.migrations.0024_done_lines_need_nobody").off_the_list(apps, None)
        assert list(findings()) == []


def test_a_page_forecasts_nothing_once_the_orders_are_looked_at(monkeypatch):
    with on("2030-03-15"):
        watch_all()
        monkeypatch.setattr(watch, "need_of", None)
        assert said()


def test_more_orders_than_a_page_looks_at_are_shown_as_kept(monkeypatch):
    """On the morning after, before the day's look: what was kept, and no forecast of hundreds of orders."""
    with on("2030-03-11"):
        watch_all()
        kept = said()
    monkeypatch.setattr(watch, "MOST_LOOKED_AT", 0)
    monkeypatch.setattr(watch, "need_of", None)
    with on("2030-03-12"):
        lines = [one for one in said() if one[0].key[0] == "line"]
        assert lines == [one for one in kept if one[0].key[0] == "line"]


def test_what_is_written_ends_a_need_at_once():
    """A line that leaves its factory is off the list before any look."""
    with on("2030-03-15"):
        watch_all()
        line = OrderLine.objects.filter(promised_on=date(2030, 3, 13)).get()
        assert line.need is not None
        shipped(line.factory_order_id, {line.pk: line.quantity}, date(2030, 3, 15), FACTORY)
        line.refresh_from_db()
        assert (line.need, line.need_why, line.need_days) == (None, "", 0)


def test_the_list_asks_as_often_for_twenty_as_for_five(django_assert_num_queries):
    with on("2030-06-03"):
        watch_all()
        few = len(watch.fetched(watch.watch_list()))
        with django_assert_num_queries(8):
            watch.fetched(watch.watch_list())
    with time_machine.travel(START, tick=False):
        for _ in range(10):
            sent_order()
    with on("2030-06-04"):
        watch_all()
        with django_assert_num_queries(8):
            assert len(watch.fetched(watch.watch_list())) > few


def test_the_first_of_each_kind_and_how_many_more():
    """The first page reads a few of a kind and counts the rest; together they are the whole list."""
    with on("2030-06-03"):
        watch_all()
        whole = Counter(one.item.need for one in watch.watch_list())
        few, beyond = watch.first_of_each(1)
        assert Counter(one.item.need for one in few) + beyond == whole
        assert beyond.total() > 0
