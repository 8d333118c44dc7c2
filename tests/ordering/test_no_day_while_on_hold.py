"""What is on hold leaves on no day that anybody could name: not on a page, in a mail, a list or an answer to a program."""

from datetime import timedelta

import pytest
from django.utils import timezone

from ordering.answers import UnknownError
from ordering.events import give_dates, shipped, watch, write
from ordering.lists.orders import line_views, misses
from ordering.lists.when_now import WhenNow
from ordering.logged import state_of
from ordering.models import Notice, Order
from ordering.states import Act
from ordering.verifying import findings
from tests.ordering.placed import CLERK, FACTORY, load_shop, sent_order, user
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]


def build():
    """(order, factory order) of two lines with their dates, the first on hold."""
    load_shop()
    order, sent = sent_order(part_opening(quantity=3), cottage_opening())
    give_dates(sent.pk, dict.fromkeys(sent.lines.values_list("pk", flat=True), soon()), FACTORY)
    write(order.pk, Act.HELD, {1: 3}, CLERK, why="they move house")
    return Order.objects.get(pk=order.pk), sent


def soon(days=30):
    return timezone.localdate() + timedelta(days)


def test_no_window_on_any_page(built):
    """For the desk, the customer and a program."""
    for told in (True, False):
        held, other = line_views(built[0], told=told)
        assert held.window is None and other.window
        assert held.stands == "is on hold: they move house" and not held.is_late


def test_a_program_is_told_why_there_is_none(built):
    known = WhenNow(timezone.localdate())
    with pytest.raises(UnknownError, match="on hold"):
        known.of_reference(f"{built[0].number}/1")
    assert known.of_reference(f"{built[0].number}/2").latest >= timezone.localdate()


def test_a_date_that_the_factory_gives_meanwhile(built):
    """It is kept, and the customer reads that the line is on hold, not a window."""
    order, sent = built
    told = state_of(order).lines[1].told
    give_dates(sent.pk, {order.lines.get(number=1).pk: soon(60)}, FACTORY, why="the saw")
    body = Notice.objects.last().body
    assert "is on hold" in body and "should leave" not in body
    now = state_of(order).lines[1]
    assert now.promised_on == soon(60) and now.told == told
    assert list(findings()) == []


def test_released_it_is_told_again(built):
    """The day's look tells what has moved while it was on hold."""
    order, sent = built
    give_dates(sent.pk, {order.lines.get(number=1).pk: soon(200)}, FACTORY, why="the saw")
    write(order.pk, Act.RELEASED, {1: 3}, CLERK)
    assert line_views(order)[0].window
    order.lines.first().told.update(told_on=timezone.localdate() - timedelta(30))
    assert [event.act for event in watch(order.pk)] == ["window"]
    assert state_of(Order.objects.get(pk=order.pk)).lines[1].told.latest >= soon(200)


def test_what_it_is_needed_by(client, built):
    """Of an order of which a line is on hold nobody knows when the last of it leaves; not before what is known."""
    order, _sent = built
    order.needed_by = timezone.localdate()
    order.save()
    assert misses(order, line_views(order)) == line_views(order)[1].window.likely
    client.force_login(user())
    for page in (f"/orders/{order.pk}/", f"/when/?q={order.number}"):
        said = client.get(page).content.decode()
        assert "not to leave its factory before" in said and "The last of it" not in said


def test_nobody_is_asked_to_come_for_it(built):
    """What reaches our dock while it is on hold is not handed over: the mail says so instead of where it goes."""
    order, sent = built
    line = order.lines.get(number=1)
    shipped(sent.pk, {line.pk: 3}, timezone.localdate(), FACTORY)
    write(order.pk, Act.ARRIVED, {1: 3}, CLERK)
    body = Notice.objects.last().body
    assert "is on hold" in body and "ask us before you plan with it" in body
    assert "pick it up" not in body


def test_the_mail_of_what_is_not_on_hold_says_where_it_goes(built):
    order, sent = built
    line = order.lines.get(number=2)
    shipped(sent.pk, {line.pk: 1}, timezone.localdate(), FACTORY)
    write(order.pk, Act.ARRIVED, {2: 1}, CLERK)
    body = Notice.objects.last().body
    assert "pick it up" in body and "What is still to come" not in body
