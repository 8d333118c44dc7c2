"""What needs somebody stands on the watch list with its reason, what helps most first."""

from datetime import date

import pytest
import time_machine

from ordering.attention import Item, Need, by_help
from ordering.events import acknowledge, give_dates, shipped, write
from ordering.expected import forget
from ordering.lists.watch import watch_list
from ordering.states import Act
from tests.ordering.placed import CLERK, FACTORY, load_shop, placed_order, sent_order
from tests.quotes.conftest import clerk_named

START = "2030-03-04 09:00"  # a Monday


@pytest.fixture
def shop(db):
    with time_machine.travel(START, tick=False):
        load_shop()


def on(day):
    forget()
    with time_machine.travel(f"{day} 09:00", tick=False):
        return [(noted.item.need, noted.item.why) for noted in watch_list()]


def at_start(make, *args):
    with time_machine.travel(START, tick=False):
        return make(*args)


def test_placed_and_not_sent(shop):
    """A line that waits a working day for its factory is named."""
    at_start(placed_order)
    assert on("2030-03-04") == []
    assert on("2030-03-05") == [
        (Need.UNSENT, "placed on 4 March and not sent to Otter Hollow Millwork yet")
    ]


def test_no_date(shop):
    """A factory that has the order and gives no date; Town Meeting Day in Vermont is no working day."""
    _, sent = at_start(sent_order)
    at_start(acknowledge, sent.pk, FACTORY)
    assert on("2030-03-08") == []
    assert on("2030-03-11") == [
        (Need.NO_DATE, "Otter Hollow Millwork has had it since 4 March and has given no date")
    ]


def test_silent_after_its_own_day(shop):
    """A promised day gone by without a word, and the goods still there."""
    order, sent = at_start(sent_order)
    at_start(give_dates, sent.pk, {order.lines.get().pk: date(2030, 3, 13)}, FACTORY)
    assert Need.SILENT not in [need for need, _ in on("2030-03-14")]
    assert on("2030-03-15") == [
        (Need.SILENT, "Otter Hollow Millwork had said 13 March and has said nothing since")
    ]


def test_likely_to_miss_before_it_does(shop):
    """On the last day told, with the goods still at the factory, it is on the list before the day is over."""
    order, sent = at_start(sent_order)
    at_start(acknowledge, sent.pk, FACTORY)
    latest = order.lines.get().told_latest
    need, why = on(latest)[0]
    assert need is Need.LATE_RISK
    assert f"{latest.day} {latest:%B} at the latest, now it looks like" in why


def test_what_has_left_or_rests_needs_nobody(shop):
    """Shipped and held lines are not the list's business."""
    order, sent = at_start(sent_order)
    at_start(shipped, sent.pk, {order.lines.get().pk: 3}, date(2030, 3, 4), FACTORY)
    held, _ = at_start(sent_order)
    with time_machine.travel(START, tick=False):
        write(held.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    needs = [need for need, _ in on("2030-06-03")]
    assert Need.LATE_RISK not in needs and Need.SILENT not in needs


def test_what_left_and_does_not_come(shop):
    """Ten working days after it left somebody asks for it; of what left in part, for that part as well."""
    _, sent = at_start(sent_order)
    line = sent.lines.get()
    at_start(shipped, sent.pk, {line.pk: 3}, date(2030, 3, 4), FACTORY)
    # Town Meeting Day in Vermont, the fifth, is no working day.
    assert on("2030-03-19") == []
    words = "left Otter Hollow Millwork on 4 March and has not come to our dock"
    assert on("2030-03-20") == [(Need.ON_ITS_WAY, words)]
    with time_machine.travel("2030-03-20T15:00Z", tick=False):
        write(line.order_id, Act.ARRIVED, {1: 2}, CLERK)
    assert on("2030-03-20") == [(Need.ON_ITS_WAY, f"1 of 3 {words}")]
    with time_machine.travel("2030-03-20T16:00Z", tick=False):
        write(line.order_id, Act.ARRIVED, {1: 1}, CLERK)
    assert on("2030-03-20") == []


def test_what_left_is_written_on_its_order(shop, client):
    """Its factory is done with it: the way leads to the order, where its arrival or its loss is written."""
    _, sent = at_start(sent_order)
    line = sent.lines.get()
    at_start(shipped, sent.pk, {line.pk: 3}, date(2030, 3, 4), FACTORY)
    forget()
    with time_machine.travel("2030-03-20T15:00Z", tick=False):
        client.force_login(clerk_named("noor"))
        page = client.get("/watch/").text
    assert f'<a href="/orders/{line.order_id}/">Write what has become of it</a>' in page
    assert "Write what the factory says" not in page


def test_more_days_for_more_people_first():
    """Ten days for three people come before twenty for one; among equals the more pressing kind."""
    three = Item(Need.NO_ANSWER, "", 10, 3, ("factory", 1))
    one = Item(Need.LATE_RISK, "", 20, 1, ("line", 1))
    call, unsent = (
        Item(Need.CALL, "", 1, 1, ("notice", 1)),
        Item(Need.UNSENT, "", 1, 1, ("line", 2)),
    )
    assert by_help([unsent, call, one, three]) == [three, one, call, unsent]
