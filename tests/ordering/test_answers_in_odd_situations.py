"""Who asks when it ships is told what is so, however odd the order: what has left, what was fetched, what is over."""

from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from ordering.answers import UnknownError
from ordering.events import cancel, give_dates, make_again, shipped, short_until, watch, write
from ordering.expected import forget
from ordering.lists.orders import line_views
from ordering.lists.steps import with_steps
from ordering.lists.when_now import WhenNow
from ordering.models import Order, OrderLine
from ordering.states import Act, Cause
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, placed_order, sent_order, user
from tests.quotes.shop import part_opening

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]


def build():
    """(order, factory order): line 1, of three, is at its factory; line 2 comes from our own shelf."""
    load_shop()
    return sent_order(part_opening(quantity=3), hand=True)


@pytest.fixture
def order(built):
    return Order.objects.get(pk=built[0].pk)


@pytest.fixture
def line(order):
    return order.lines.get(number=1)


def today():
    return timezone.localdate()


def leave(line, count):
    shipped(line.factory_order_id, {line.pk: count}, today(), FACTORY)


def stands(order, number=1):
    return line_views(Order.objects.get(pk=order.pk))[number - 1].stands


def answer(order, number):
    return WhenNow(today()).of_reference(f"{order.number}/{number}")


def test_what_was_fetched_is_not_said_to_wait_at_our_dock(order, line):
    """One of three was handed over, two are still to be made."""
    leave(line, 1)
    write(order.pk, Act.ARRIVED, {1: 1}, CLERK)
    assert stands(order).startswith("has reached our dock in part, 1 of 3; the rest should leave")
    write(order.pk, Act.HANDED, {1: 1}, CLERK)
    assert stands(order).startswith("was handed over in part, 1 of 3; the rest should leave")


def test_some_fetched_some_at_our_dock_some_to_be_made(order, line):
    """All three are told of."""
    leave(line, 2)
    write(order.pk, Act.ARRIVED, {1: 2}, CLERK)
    write(order.pk, Act.HANDED, {1: 1}, CLERK)
    said = stands(order)
    assert said.startswith(
        "was handed over in part, 1 of 3; the rest has reached our dock in part, 1 of 2; the rest should"
    )


def test_what_was_fetched_while_the_rest_is_on_its_way(order, line):
    leave(line, 1)
    write(order.pk, Act.ARRIVED, {1: 1}, CLERK)
    write(order.pk, Act.HANDED, {1: 1}, CLERK)
    leave(line, 2)
    assert stands(order).startswith("was handed over in part, 1 of 3; the rest left the factory on")


def test_a_cancelled_line_is_known(order):
    """A program that asks by a reference of ours is not told that there is none."""
    cancel(order.pk, [1], "they moved", CLERK, tells=False)
    with pytest.raises(UnknownError, match="was cancelled"):
        answer(order, 1)


def test_a_line_of_our_own_shelf_is_known(order):
    with pytest.raises(UnknownError, match="our own shelf"):
        answer(order, 2)


def test_what_was_lost_is_made_again_as_another_line(order, line):
    """The day on which it left is no answer to who waits for it."""
    leave(line, 3)
    assert answer(order, 1).latest == today()
    make_again(line.pk, 3, Cause.CARRIER, "lost", CLERK, tells=False)
    with pytest.raises(UnknownError, match=f"made again.*{order.number}/3"):
        answer(order, 1)
    assert answer(order, 3).latest > today()


def listed(order):
    return with_steps([Order.objects.get(pk=order.pk)])[0].leaves


def test_a_list_names_no_day_that_is_over(order, line):
    """What has not left by now leaves on no past day: neither the factory's nor the likeliest one told."""
    told = OrderLine.objects.get(pk=line.pk)
    assert listed(order) == told.told_likely
    with time_machine.travel(timezone.now() + (told.told_latest - today())):
        assert listed(order) == told.told_latest
    with time_machine.travel(timezone.now() + (told.told_latest - today()) + timedelta(1)):
        assert listed(order) is None


def test_a_list_after_a_promise_that_was_not_kept(order, line):
    give_dates(line.factory_order_id, {line.pk: today() + timedelta(3)}, FACTORY)
    assert listed(order) == today() + timedelta(3)
    with time_machine.travel(timezone.now() + timedelta(5)):
        assert listed(order) >= today()


def test_a_new_date_for_what_has_left_is_none(client, order, line):
    """The factory's page stood open while the goods left: the date is not taken, and nobody gets a window of it."""
    leave(line, 3)
    client.force_login(user())
    said = {
        "do": "dates",
        f"date-{line.pk}": today() + timedelta(40),
        f"version-{line.pk}": line.version,
    }
    answer = client.post(f"/factory-orders/{line.factory_order_id}/", said)
    assert answer.status_code == 422
    assert not order.events.filter(act=Act.PROMISED).exists()


def why_told(order, days):
    with time_machine.travel(timezone.now() + timedelta(days)):
        return [(event.act, event.why) for event in watch(order.pk)]


def test_our_own_delay_is_not_put_on_the_factory(order):
    """What lies with us for weeks leaves later because of that: the customer reads no other reason."""
    waits = placed_order(part_opening(quantity=3), email="ida@lorne.example", caller="Ida Lorne")
    ((act, why),) = why_told(waits, 21)
    assert act == "window" and "has not gone to the factory yet" in why and "Otter" not in why


def test_nor_once_it_is_late(order):
    waits = placed_order(part_opening(quantity=3), email="ida@lorne.example", caller="Ida Lorne")
    ((act, why),) = why_told(waits, 60)
    assert act == "late" and "has not gone to the factory yet" in why


def test_what_lies_at_the_factory_is_late_there(order):
    ((act, why),) = why_told(order, 60)
    assert act == "late" and why.endswith("it has not left the factory yet.")


@pytest.mark.parametrize("begun", ["making", "left in part"])
def test_a_shortage_is_none_of_what_has_begun(order, line, begun):
    """It says until when nothing can be started: what is being made, or has left in part, has been."""
    before = line_views(order)[0].window
    if begun == "making":
        write(order.pk, Act.MAKING, {1: 3}, FACTORY)
    else:
        leave(line, 1)
    short_until(line.factory_id, today() + timedelta(90), MANAGER, None, "", "no slate")
    forget()
    window = line_views(Order.objects.get(pk=order.pk))[0].window
    assert abs(window.latest - before.latest) < timedelta(7) and "shortage" not in window.basis


def test_a_shortage_holds_up_what_has_not(order, line):
    short_until(line.factory_id, today() + timedelta(90), MANAGER, None, "", "no slate")
    forget()
    window = line_views(Order.objects.get(pk=order.pk))[0].window
    assert window.earliest > today() + timedelta(90) and "shortage" in window.basis
