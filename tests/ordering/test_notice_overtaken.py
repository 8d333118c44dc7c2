"""A notice that waited while mail was away does not go once it has ceased to be so; why is kept with it."""

from datetime import timedelta

import pytest
from django.core import mail
from django.utils import timezone

from ordering.events import cancel, chase, give_dates, take_back, write
from ordering.lists.watch import watch_list
from ordering.logged import state_of
from ordering.models import Notice
from ordering.notices import Kind
from ordering.sending import sweep
from ordering.states import Act
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, sent_order, user

pytestmark = pytest.mark.django_db


@pytest.fixture
def order():
    """At its factory, and what was written about it until now has gone."""
    load_shop()
    order, _sent = sent_order()
    sweep()
    mail.outbox.clear()
    return order


def gone():
    """What a sweep sends and what it leaves, by kind."""
    sweep()
    left = Notice.objects.exclude(dropped_at=None).order_by("pk")
    return [message.subject for message in mail.outbox], [(n.kind, n.last_error) for n in left]


def promise(order, days):
    line = order.lines.get()
    day = timezone.localdate() + timedelta(days=days)
    give_dates(line.factory_order_id, {line.pk: day}, FACTORY, why="no slate")


def leaves(order, act=Act.LEFT):
    write(order.pk, act, {1: state_of(order).lines[1].going}, CLERK)


def test_the_newest_day_alone(order):
    """Three days given while mail was away: the customer reads the one that holds."""
    for days in (20, 27, 41):
        promise(order, days)
    sent, left = gone()
    assert len(sent) == 1 and "has moved" in sent[0]
    word = "newer word of it was written since"
    assert left == [(Kind.CONFIRMED, word), (Kind.MOVED, word)]


def test_a_day_for_what_has_left(order):
    """Nothing is said of when it will leave once it has."""
    promise(order, 20)
    leaves(order)
    sent, left = gone()
    assert len(sent) == 1 and "has left" in sent[0]
    assert [kind for kind, _why in left] == [Kind.CONFIRMED]


def test_ready_and_fetched(order):
    """Nobody is asked to come for what they have; where it was on its way is no news either."""
    leaves(order)
    leaves(order, Act.ARRIVED)
    leaves(order, Act.HANDED)
    sent, left = gone()
    assert not sent
    assert left == [
        (Kind.LEFT, "none of it is on its way any more"),
        (Kind.READY, "none of it waits at our dock any more"),
    ]


def test_stopped_and_to_go_on_after_all(order):
    """A factory that never read that it should stop is not told to stop, nor that this was a mistake."""
    event = cancel(order.pk, [1], "changed their mind", MANAGER, tells=True)
    take_back(order.pk, event.number, "they did not", MANAGER)
    sent, left = gone()
    assert not sent
    assert {kind for kind, _why in left} == {
        Kind.CANCELLED,
        Kind.STOPPED,
        Kind.RIGHTED,
        Kind.RESUMED,
    }


def test_stopped_by_a_mail_that_may_have_arrived(order):
    """Of a mail that broke off nobody knows whether it came: what sets it right goes, what is wrong does not."""
    event = cancel(order.pk, [1], "changed their mind", MANAGER, tells=True)
    Notice.objects.filter(event=event).update(attempts=1)
    take_back(order.pk, event.number, "they did not", MANAGER)
    sent, left = gone()
    assert [kind for kind, _why in left] == [Kind.CANCELLED, Kind.STOPPED]
    assert len(sent) == 2


def test_asked_again_and_answered(order):
    """The factory's answer comes before the mail that asks for it once more."""
    factory_order = order.lines.get().factory_order
    chase(factory_order.pk, CLERK)
    promise(order, 20)
    _sent, left = gone()
    assert left == [(Kind.CHASED, "the factory has answered since")]


def test_asked_again_and_not_answered(order):
    chase(order.lines.get().factory_order_id, CLERK)
    sent, left = gone()
    assert len(sent) == 1 and not left


def test_nothing_is_made_of_what_was_cancelled():
    """The order to the factory waits, too: all of it cancelled, nobody begins with it."""
    load_shop()
    order, _sent = sent_order()
    cancel(order.pk, [1], "changed their mind", MANAGER, tells=True)
    _sent, left = gone()
    assert left == [
        (Kind.PLACED, "all of it was cancelled"),
        (Kind.FACTORY, "all of it was cancelled"),
    ]


def test_what_was_left_waits_for_nobody(order, client):
    """It is no mail that waits or fails; the order's page says why it did not go."""
    promise(order, 20)
    Notice.objects.filter(kind=Kind.CONFIRMED).update(attempts=9)
    leaves(order)
    gone()
    Notice.objects.filter(kind=Kind.CONFIRMED).update(attempts=9, taken_at=None)
    assert sweep() == 0
    assert not [item for item in watch_list() if "mail" in str(item).lower()]
    client.force_login(user("counter"))
    page = client.get(f"/orders/{order.pk}/").content.decode()
    assert "not sent: newer word of it was written since" in page
