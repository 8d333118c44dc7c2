"""What is cancelled at one press: the lines, what the customer is told, and who must not make it."""

import re
from datetime import timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from ordering.documents.factory_order import paper_of, papers_of
from ordering.events import called, cancel, give_dates, send_to_factories, take_back, write
from ordering.events.fields import windows_in_words
from ordering.links import page_of, page_of_factory
from ordering.lists.watch import watch_list
from ordering.logged import state_of
from ordering.models import Notice, PastOrder
from ordering.sending import sweep
from ordering.states import Act, NotAllowed, Step
from ordering.verifying import findings
from sizing.models import Factory
from tests.ordering.cancelling import press
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, placed_order, sent_order, user
from tests.quotes.shop import part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    order = placed_order(part_opening(quantity=3), part_opening("Porch", 2, "chalk"))
    send_to_factories([order.lines.get(number=1).pk], CLERK)
    return order


@pytest.fixture
def both(built):
    """An order of two lines, the first of which is at its factory."""
    return built


def kinds(order):
    return [
        (notice.kind, notice.to)
        for notice in Notice.objects.filter(event__order=order).order_by("pk")
        if notice.event.act in (Act.CANCELLED, Act.TAKEN_BACK)
    ]


def test_the_whole_order_at_one_press(both, client):
    """Both lines; the customer gets one mail, and the factory of the line that was sent gets one."""
    order = both
    assert press(client, order, 1, 2).status_code == 302
    order.refresh_from_db()
    assert {line.step for line in state_of(order).lines.values()} == {Step.CANCELLED}
    assert not order.is_open
    assert kinds(order) == [("cancelled", order.email), ("stopped", "orders@otterhollow.example")]
    assert list(findings()) == []


def test_what_each_mail_says(both, client):
    """The customer reads which lines and why; the factory which of its order, and not why."""
    order = both
    press(client, order, 1)
    mail.outbox.clear()
    sweep()
    bodies = {m.to[0]: m.body for m in mail.outbox if "cancelled" in m.body}
    theirs, factorys = bodies[order.email], bodies["orders@otterhollow.example"]
    assert "1. 3 pairs" in theirs and "the sash is repaired" in theirs and "/o/" in theirs
    assert f"({order.number}/1)" in factorys
    assert "do not make" in factorys and "repaired" not in factorys


def test_nobody_is_asked_to_stop_what_was_never_sent(both, client):
    """A line that still waits here needs no mail to its factory."""
    order = both
    press(client, order, 2)
    assert kinds(order) == [("cancelled", order.email)]
    assert [line.step for line in state_of(order).lines.values()] == [Step.SENT, Step.CANCELLED]


def test_who_knows_gets_nothing(both, client):
    """The customer who has just called needs no mail; the factory does."""
    order = both
    press(client, order, 1, 2, known="yes")
    assert kinds(order) == [("stopped", "orders@otterhollow.example")]
    assert list(findings()) == []


def test_what_has_left_goes_on(client):
    """Of five pieces two are gone: three are cancelled, and three is what everybody reads."""
    order, _ = sent_order(part_opening(quantity=5))
    write(order.pk, Act.LEFT, {1: 2}, FACTORY)
    cancel(order.pk, [1], "too many", MANAGER, tells=True, no_return=True)
    assert (state_of(order).lines[1].going, state_of(order).lines[1].cancelled) == (2, 3)
    bodies = [n.body for n in Notice.objects.filter(kind__in=["cancelled", "stopped"])]
    assert [body.count("- 3 pairs") for body in bodies] == [1, 1]
    assert "neither returned nor paid back" in bodies[0]
    page = client.get("/" + page_of(order).split("/", 3)[3]).content.decode()
    assert "1. 2 pairs of " in page and "3 more were cancelled." in page


def test_being_made_it_is_the_managers(client):
    """The counter reads who may; the manager has to tick that the customer was told."""
    order, _ = sent_order()
    write(order.pk, Act.MAKING, {1: 3}, FACTORY)
    order.refresh_from_db()
    refused = press(client, order, 1)
    assert (refused.status_code, "only the manager" in refused.content.decode()) == (422, True)
    refused = press(client, order, 1, role="manager")
    page = refused.content.decode()
    assert (refused.status_code, "tick that the customer was told" in page) == (422, True)
    assert 'value="the sash is repaired"' in page
    assert kinds(order) == []
    assert press(client, order, 1, role="manager", no_return="yes").status_code == 302


@pytest.mark.parametrize(
    ("lines", "said", "words", "status"),
    [
        ((), {}, "Tick the lines to cancel first", 422),
        ((1,), {"why": " "}, "needs its reason", 422),
        ((9,), {"version-9": "1"}, "Tick the lines", 422),
        ((1,), {"version-1": "0"}, "changed meanwhile", 409),
        ((1,), {"version-1": "x"}, "The page", 422),
    ],
)
def test_refused_in_a_sentence(both, client, lines, said, words, status):
    """Nothing is written, and what was typed is on the page."""
    order = both
    answer = press(client, order, *lines, **said)
    assert (answer.status_code, words in answer.content.decode()) == (status, True)
    assert kinds(order) == []


def test_taken_back_both_are_told(both):
    """A cancellation by mistake: the customer is to disregard it, the factory to make it after all."""
    order = both
    wrong = cancel(order.pk, [1, 2], "the wrong order", CLERK, tells=True)
    take_back(order.pk, wrong.number, "the wrong order", CLERK)
    assert [kind for kind, _ in kinds(order)] == ["cancelled", "stopped", "righted", "resumed"]
    righted, resumed = Notice.objects.filter(kind__in=["righted", "resumed"]).order_by("pk")
    assert f"“Order {order.number}: cancelled”" in righted.body
    window = windows_in_words(state_of(order).lines)
    assert window and window in righted.body
    assert "make it as ordered" in resumed.body and "- 3 pairs" in resumed.body
    assert {line.step for line in state_of(order).lines.values()} == {Step.SENT, Step.PLACED}
    assert list(findings()) == []


def test_a_date_taken_back_is_set_right():
    """Whatever a customer was told of is set right when it is taken back, not only what was cancelled."""
    order, sent = sent_order()
    (given,) = give_dates(
        sent.pk, {sent.lines.get().pk: timezone.localdate() + timedelta(30)}, FACTORY
    )
    take_back(order.pk, given.number, "that was another order", CLERK)
    righted = Notice.objects.get(kind="righted")
    assert "the factory has given a date" in righted.body
    assert list(findings()) == []


def test_what_nobody_was_told_needs_no_setting_right():
    """Taking back a hold writes to nobody."""
    order, _ = sent_order()
    held = write(order.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    take_back(order.pk, held.number, "oops", CLERK)
    assert not Notice.objects.filter(kind__in=["righted", "resumed"]).exists()
    assert list(findings()) == []


def test_a_call_not_made_yet_need_not_be(both, client):
    """Without addresses both are calls; taken back before anybody called, nobody need be."""
    order = both
    type(order).objects.update(email="")
    Factory.objects.update(email="")
    order.refresh_from_db()
    before = len(watch_list())
    wrong = cancel(order.pk, [1], "the wrong order", CLERK, tells=True)
    calls = [one.item.why for one in watch_list()]
    assert len(calls) == before + 2
    assert "no e-mail address: call Otter Hollow Millwork (factory asked to stop)" in calls
    take_back(order.pk, wrong.number, "the wrong order", CLERK)
    assert len(watch_list()) == before
    assert list(findings()) == []


def test_a_call_that_was_made_is_set_right(both):
    """Who was called is called once more."""
    order = both
    type(order).objects.update(email="")
    wrong = cancel(order.pk, [2], "the wrong order", CLERK, tells=True)
    called(Notice.objects.get(kind="cancelled").pk, CLERK)
    take_back(order.pk, wrong.number, "the wrong order", CLERK)
    assert "call Mara Quill" in " ".join(one.item.why for one in watch_list())
    assert Notice.objects.get(kind="righted").sent_at is None


@pytest.mark.parametrize(("lines", "calls"), [((1,), 2), ((1, 2), 1)])
def test_no_call_about_what_is_cancelled(both, client, lines, calls):
    """An order that is cancelled whole needs no call about its dates; one of which a line stands does."""
    order = both
    Notice.objects.all().delete()
    type(order).objects.update(email="")
    write(order.pk, Act.PROMISED, {1: 3}, FACTORY, data={"promised": {"1": "2031-01-07"}})
    answer = press(client, order, *lines)
    assert answer.status_code == 302
    page = client.get(answer.url).content.decode()
    about = "3 of line 1" if lines == (1,) else "3 of line 1, 2 of line 2"
    told = (
        f"Cancelled: {about}. Call Mara Quill: cancelled. Otter Hollow Millwork is asked to stop."
    )
    assert told in page
    waiting = Notice.objects.filter(event__order=order, to="", sent_at=None)
    assert waiting.count() == calls


def test_calls_are_to_be_made_after_all(both, client):
    """Cancelled by mistake and taken back, the order's other calls are open again."""
    order = both
    Notice.objects.all().delete()
    type(order).objects.update(email="")
    write(order.pk, Act.PROMISED, {1: 3}, FACTORY, data={"promised": {"1": "2031-01-07"}})
    wrong = cancel(order.pk, [1, 2], "the wrong order", CLERK, tells=True)
    take_back(order.pk, wrong.number, "the wrong order", CLERK)
    waiting = Notice.objects.filter(event__order=order, to="", sent_at=None)
    assert [notice.kind for notice in waiting] == ["confirmed"]


def test_what_is_left_of_a_line_has_all_left():
    """Two of five went before the rest was cancelled: the line left on that day, and the lead times learn it."""
    order, _ = sent_order(part_opening(quantity=5))
    today = timezone.localdate()
    write(order.pk, Act.LEFT, {1: 2}, FACTORY)
    cancel(order.pk, [1], "too many", MANAGER, tells=True, no_return=True)
    assert state_of(order).lines[1].left_on == order.lines.get().left_on == today
    past = PastOrder.objects.get(reference=str(order.lines.get()))
    assert (past.quantity, past.shipped_on) == (2, today)
    assert list(findings()) == []


def test_the_calendar_says_what_is_true(both, client):
    """Of what has left the day it did, of what is cancelled that it is; each a change that calendars take."""
    order = both
    address = reverse("order-calendar", args=[page_of(order).rstrip("/").split("/")[-1]])

    def entries():
        found = Calendar.from_ical(client.get(address).content)
        return [(str(e["description"]), e["sequence"]) for e in found.walk("VEVENT")]

    first, second = entries()
    assert "should leave" in first[0] and "should leave" in second[0]
    write(order.pk, Act.LEFT, {1: 3}, FACTORY)
    cancel(order.pk, [2], "no need", CLERK, tells=False)
    left, cancelled = entries()
    assert "left the factory" in left[0] and "should" not in left[0] and left[1] > first[1]
    assert "was cancelled" in cancelled[0] and cancelled[1] > second[1]


def test_nothing_left_to_cancel(both, client):
    """An order that is all handed over or cancelled offers no such thing."""
    order = both
    cancel(order.pk, [1, 2], "no need", CLERK, tells=False)
    with pytest.raises(NotAllowed, match="nothing of it is left to cancel"):
        cancel(order.pk, [1], "again", CLERK, tells=False)
    client.force_login(user())
    assert (
        "Cancel what has not left"
        not in client.get(reverse("order", args=[order.pk])).content.decode()
    )


def test_the_factory_reads_what_not_to_make(client):
    """On its page a cancelled line says so and takes no date; the paper leaves it out."""
    order, sent = sent_order(part_opening(quantity=3), part_opening("Porch", 2, "chalk"))
    address = "/" + page_of_factory(sent).split("/", 3)[3]
    cancel(order.pk, [1], "no need", CLERK, tells=False)
    page = client.get(address).content.decode()
    first, second = sent.lines.order_by("number")
    assert page.count("Cancelled: please do not make it") == 1
    assert (f"date-{first.pk}" in page, f"date-{second.pk}" in page) == (False, True)
    assert [row.quantity for row in paper_of(sent).rows] == [2]
    cancel(order.pk, [2], "no need", CLERK, tells=False)
    page = client.get(address).content.decode()
    assert "Nothing of this order is still to leave" in page
    # That it is made already can still be said.
    assert re.findall("<button[^>]*", page) == ['<button name="do" value="say"']
    assert all(content for _, content, _ in papers_of(sent))


def test_asked_again_only_about_what_stands():
    """A factory that has not answered is not asked for the date of what is cancelled."""
    from ordering.events import chase

    order, sent = sent_order(part_opening(quantity=3), part_opening("Porch", 2, "chalk"))
    cancel(order.pk, [1], "no need", CLERK, tells=False)
    chase(sent.pk, CLERK)
    body = Notice.objects.get(kind="chased").body
    assert ("- 2 pairs" in body, "- 3 pairs" in body) == (True, False)
