"""Sentences, dates and counts that a closer look found untrue."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import OperationalError
from django.urls import reverse
from django.utils import timezone

from ordering.events import cancel, give_dates, make_again, shipped, take_back, watch_all, write
from ordering.events.fields import windows_in_words
from ordering.expected import forget, holding
from ordering.lists import orders
from ordering.lists.orders import history, line_views
from ordering.logged import state_of
from ordering.models import Notice, Order
from ordering.needs import need_of
from ordering.publish import sold_of
from ordering.replay import after
from ordering.sentences import day, span
from ordering.states import Act, Cause, Happened, LineState, NotAllowed, OrderState, Step, Window
from quotes.days import long_date
from sizing.models import Family
from tests.ordering.placed import CLERK, FACTORY, load_shop, placed_order, sent_order, user
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")
DAY = date(2030, 3, 4)


def build():
    load_shop()


def test_the_factorys_own_date_is_in_the_window():
    """Nobody is told a window that the factory has just said it will miss."""
    window = Window(DAY, DAY + timedelta(3), DAY + timedelta(9), "why")
    late, early = DAY + timedelta(12), DAY - timedelta(2)
    assert holding(window, late).days == (DAY, DAY + timedelta(3), late)
    assert holding(window, early).days == (early, DAY + timedelta(3), DAY + timedelta(9))
    order, sent = sent_order()
    promised = timezone.localdate() + timedelta(200)
    give_dates(sent.pk, {order.lines.get().pk: promised}, FACTORY)
    assert state_of(order).lines[1].told.latest >= promised


def test_no_likelier_day_than_one_that_has_just_slipped():
    """A factory that moves its date later hardly ships before it: the window moves along, and back with the date."""
    order, sent = sent_order()
    line, today = order.lines.get(), timezone.localdate()

    def likely_after(days: int, why: str) -> date:
        give_dates(sent.pk, {line.pk: today + timedelta(days)}, FACTORY, why=why)
        return state_of(order).lines[1].told.likely

    assert likely_after(161, "") < today + timedelta(161)
    later = likely_after(200, "the saw is down")
    assert later >= today + timedelta(200)
    told = state_of(order).lines[1].told
    assert told.earliest < told.likely <= told.latest and "taken less" not in told.basis
    assert likely_after(161, "it runs again") < today + timedelta(161)


def test_a_window_never_begins_in_the_past():
    """A factory without a record promises a day weeks sooner than declared: the window moves half-way to it, and
    what is sent today has not left before it."""
    order, sent = sent_order()
    line, today = order.lines.get(), timezone.localdate()
    Family.objects.update(lead_weeks_min=1, lead_weeks_max=12)
    forget()
    give_dates(sent.pk, {line.pk: today}, FACTORY)
    told = state_of(order).lines[1].told
    assert today == told.earliest <= told.likely <= told.latest


def test_days_that_are_over_are_not_promised():
    """A window of the past says nothing of what is still to leave."""
    over = Window(*[timezone.localdate() - timedelta(days) for days in (30, 20, 10)])
    assert windows_in_words({1: LineState(2, True, Step.SENT, told=over)}) == ""


def test_only_what_is_still_to_come_is_offered(monkeypatch):
    """Half of the window is over: mail and customer's page speak of the days that are left."""
    today = timezone.localdate()
    told = Window(today - timedelta(4), today - timedelta(1), today + timedelta(3))
    assert told.still_to_come(today).days == (today, today, told.latest)
    late = Window(today - timedelta(4), today - timedelta(3), today - timedelta(2))
    assert late.still_to_come(today) == late
    order, _sent = sent_order()
    state = OrderState({1: replace(state_of(order).lines[1], told=told)})
    monkeypatch.setattr(orders, "state_of", lambda order: state)
    (line,) = line_views(order, told=True)
    assert line.window.days == (today, today, told.latest)
    assert span(today, told.latest, today) in windows_in_words(state.lines)


def test_a_told_window_that_is_over_is_not_said_again(monkeypatch):
    """Until the desk's nightly look has written of the delay, the customer's page tells what is expected now."""
    order, _sent = sent_order()
    today = timezone.localdate()
    over = Window(today - timedelta(9), today - timedelta(5), today - timedelta(1))
    state = OrderState({1: replace(state_of(order).lines[1], told=over)})
    monkeypatch.setattr(orders, "state_of", lambda order: state)
    (line,) = line_views(order, told=True)
    assert line.window.earliest >= today
    assert f"later than we told you: {day(over.latest, today)} at the latest" in line.stands
    assert span(line.window.earliest, line.window.latest, today) in line.stands


def test_a_date_that_moves_says_what_was_told_before():
    """Of a line that alone moved its own; nobody has to look for the letter before."""
    order, sent = sent_order(part_opening(quantity=3), part_opening("Porch", 2, "chalk"))
    first, second = sent.lines.order_by("number")
    day = timezone.localdate() + timedelta(40)
    give_dates(sent.pk, {first.pk: day, second.pk: day}, FACTORY)
    told = state_of(order).lines[1].told
    give_dates(sent.pk, {first.pk: day + timedelta(30)}, FACTORY, "No slate.")
    body = Notice.objects.get(kind="moved").body
    assert (
        f"Until now we had told you: {span(told.earliest, told.latest, timezone.localdate())}."
        in body
    )


def test_a_day_of_the_factory_that_is_over_is_not_said_to_stand():
    today = timezone.localdate()
    told = Window(today, today + timedelta(3), today + timedelta(9))
    for promised, says in ((-9, "The factory had said"), (9, "The factory says")):
        day = today + timedelta(promised)
        line = LineState(2, True, Step.SENT, told=told, promised_on=day)
        assert says in windows_in_words({1: line})


def test_the_last_of_it_left_on_the_later_day():
    """What is written down afterwards may have left before."""
    line = LineState(5, True, Step.SENT)
    for count, left in ((2, 10), (3, 8)):
        event = Happened(1, Act.LEFT, DAY.replace(day=left), {1: count})
        line = after(OrderState({1: line}), event).lines[1]
    assert line.left_on == DAY.replace(day=10)


def test_taken_back_once():
    """Of two who take back at once the second is told, and nobody is written to twice."""
    order, _ = sent_order()
    wrong = cancel(order.pk, [1], "no need", CLERK, tells=True)
    take_back(order.pk, wrong.number, "the wrong order", CLERK)
    with pytest.raises(NotAllowed, match="taken back already"):
        take_back(order.pk, wrong.number, "the wrong order", CLERK)


def test_a_locked_database_is_no_look(monkeypatch):
    """The order is looked at again as soon as the database answers, not a day later."""

    def locked(pk):
        raise OperationalError("database is locked")

    order, _ = sent_order()
    Order.objects.update(watched_on=None)
    monkeypatch.setattr("ordering.events.watching.watch", locked)
    with pytest.raises(OperationalError):
        watch_all()
    order.refresh_from_db()
    assert order.watched_on is None


def test_made_again_waits_from_the_day_it_was_written():
    """A line made again months later has not waited since the order was placed."""
    order, sent = sent_order()
    shipped(sent.pk, {order.lines.get().pk: 1}, timezone.localdate(), FACTORY)
    new = make_again(order.lines.get().pk, 1, Cause.CARRIER, "crushed", CLERK, tells=False)
    Order.objects.update(placed_on=timezone.localdate() - timedelta(90))
    new.refresh_from_db()
    in_a_week = timezone.localdate() + timedelta(7)
    item = need_of(new, state_of(order).lines[2], in_a_week)
    assert item.days <= 7


def test_cancelled_pieces_are_not_sold():
    """What part of a line was cancelled counts for nothing."""
    order = placed_order(part_opening(quantity=9))
    line = order.lines.get()
    cancel(order.pk, [1], "fewer", CLERK, tells=False, counts={1: 8})
    assert sold_of(line.family, timezone.localdate())[line.part_number] == 1


def test_what_was_taken_back_is_not_read_out():
    """The reason of a hold is the one that holds."""
    order, _ = sent_order()
    write(order.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    wrong = write(order.pk, Act.RELEASED, {1: 3}, CLERK)
    take_back(order.pk, wrong.number, "oops", CLERK)
    released = write(order.pk, Act.RELEASED, {1: 3}, CLERK)
    second = write(order.pk, Act.HELD, {1: 3}, CLERK, why="glass")
    take_back(order.pk, second.number, "another order", CLERK)
    take_back(order.pk, released.number, "too early", CLERK)
    order.refresh_from_db()
    assert line_views(Order.objects.get(pk=order.pk))[0].stands == "is on hold: paint"


@pytest.mark.parametrize("number", ["²", "①", "x"])
def test_no_number_is_no_line(client, number):
    """A sign that only looks like a number is refused in a sentence."""
    order, _ = sent_order()
    client.force_login(user())
    answer = client.post(reverse("order-cancel", args=[order.pk]), {"line": number, "why": "no"})
    assert answer.status_code == 422


def test_a_part_is_not_called_all_of_it():
    """Who reads only the subject drives to the counter: of three, two are ready in part."""
    order, _sent = sent_order()
    line = order.lines.get()
    for act, count in ((Act.LEFT, 2), (Act.ARRIVED, 2), (Act.LEFT, 1), (Act.ARRIVED, 1)):
        write(order.pk, act, {line.number: count}, CLERK)
    told = Notice.objects.filter(kind__in=("left", "ready")).order_by("pk")
    assert [notice.subject for notice in told] == [
        f"Order {order.number} has left the factory in part",
        f"Order {order.number} is ready in part",
        f"Order {order.number} has left the factory",
        f"Order {order.number} is ready",
    ]
    # Who gets a part asks for the rest next.
    assert ["What is still to come:\n- 1 pair of OHL-05LS, " in notice.body for notice in told] == [
        True,
        True,
        False,
        False,
    ]


def test_history_says_which_line_is_for_which_day():
    """Two dates of one answer are not a pair of days for both."""
    order, sent = sent_order(part_opening("Hall"), part_opening("Attic", finish="ash"))
    first, second = order.lines.order_by("number")
    soon, later = (timezone.localdate() + timedelta(days) for days in (400, 430))
    give_dates(sent.pk, {first.pk: soon, second.pk: later}, FACTORY)
    words = next(told.words for told in history(order) if told.event.act == Act.PROMISED)
    assert words == f"line 1 for {long_date(soon)}; line 2 for {long_date(later)}"
