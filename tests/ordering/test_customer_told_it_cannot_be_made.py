"""That its factory can't make it is told to the customer by phone, or by a letter that the desk sends with one press."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.core import mail
from django.utils import timezone

from ordering.events import (
    cancel,
    cannot_make,
    choose_notices,
    erase_customer,
    give_dates,
    shipped,
    take_back,
    tell_refused,
)
from ordering.models import Notice, Order
from ordering.notices import FOR_CUSTOMERS, Kind
from ordering.sending import sweep
from ordering.states import NotAllowed
from ordering.verifying import findings
from quotes.models import Customer
from tests.ordering.placed import CLERK, FACTORY, MANAGER, STAFF, load_shop, sent_order, user
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]

WHY = "The slate die is broken"
OFFER = "We could have it in ash by Friday."


def build():
    """(order, factory order): line 1, of three, has left in part and can't be made; line 2 has its date."""
    load_shop()
    order, sent = sent_order(part_opening(quantity=3), cottage_opening())
    lines = {line.number: line for line in sent.lines.all()}
    day = timezone.localdate() + timedelta(30)
    give_dates(sent.pk, {line.pk: day for line in lines.values()}, FACTORY)
    shipped(sent.pk, {lines[1].pk: 1}, timezone.localdate(), FACTORY)
    cannot_make(sent.pk, [lines[1].pk], WHY, FACTORY)
    sweep()
    return order, sent


@pytest.fixture(autouse=True)
def nothing_sent(built):
    mail.outbox.clear()


@pytest.fixture
def order(built):
    return Order.objects.get(pk=built[0].pk)


def press(client, order, **said):
    client.force_login(user())
    return client.post(f"/orders/{order.pk}/lines/1/refused/", said, follow=True)


def text(answer):
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())))


def test_nobody_is_written_to_unasked(order):
    """The desk calls first: it knows what can be offered."""
    assert not Notice.objects.filter(kind=Kind.REFUSED).exists()


def test_one_press_writes_to_them(client, order):
    """What it is, how many of it, what they were told before and what the desk offers; not the factory's own words."""
    page = press(client, order, words=OFFER)
    assert page.status_code == 200 and "is written to" in text(page)
    sweep()
    (sent,) = mail.outbox
    assert (
        sent.to == [order.email]
        and order.number in sent.subject
        and "cannot be made" in sent.subject
    )
    assert "2 pieces" in sent.body or "2 pairs" in sent.body
    assert "1." in sent.body and "2. " not in sent.body
    assert OFFER in sent.body and WHY not in sent.body
    assert "Until now we had told you" in sent.body and "should leave" not in sent.body
    assert "/o/" in sent.body
    assert "sent" in text(client.get(f"/orders/{order.pk}/"))
    assert list(findings()) == []


def test_without_a_word_of_our_own(client, order):
    """The press alone is enough."""
    press(client, order)
    sweep()
    assert len(mail.outbox) == 1 and "{" not in mail.outbox[0].body


def test_the_order_shows_the_button_until_it_is_written(client, order):
    client.force_login(user())
    address = f"/orders/{order.pk}/"
    assert "Write to them" in text(client.get(address))
    press(client, order)
    page = text(client.get(address))
    assert "Write to them" not in page and "Written to them" in page


def test_in_their_language(order):
    Customer.objects.filter(pk=order.customer_id).update(language="es")
    tell_refused(order.pk, 1, OFFER, CLERK)
    sweep()
    (sent,) = mail.outbox
    assert "no se puede fabricar" in sent.subject and "Buen día" in sent.body


def test_pressed_twice_it_is_one_letter(order):
    tell_refused(order.pk, 1, "", CLERK)
    with pytest.raises(NotAllowed, match="already"):
        tell_refused(order.pk, 1, "", CLERK)
    assert Notice.objects.filter(kind=Kind.REFUSED).count() == 1


def test_not_of_what_is_being_made(order):
    with pytest.raises(NotAllowed, match="does not say"):
        tell_refused(order.pk, 2, "", CLERK)


def test_not_by_who_only_answers_the_phone(client, order):
    with pytest.raises(NotAllowed, match="counter"):
        tell_refused(order.pk, 1, "", STAFF)
    client.force_login(user("sam", "staff"))
    assert "Write to them" not in text(client.get(f"/orders/{order.pk}/"))


def test_who_reads_no_mail_is_called(client, order):
    Order.objects.filter(pk=order.pk).update(email="")
    with pytest.raises(NotAllowed, match=r"no e-mail address.*call"):
        tell_refused(order.pk, 1, "", CLERK)
    client.force_login(user())
    page = text(client.get(f"/orders/{order.pk}/"))
    assert "Write to them" not in page


def test_who_does_not_want_it_is_called(client, order):
    """They choose it on their page, as every other kind."""
    assert Kind.REFUSED in FOR_CUSTOMERS
    choose_notices(order.pk, set(FOR_CUSTOMERS) - {Kind.REFUSED})
    with pytest.raises(NotAllowed, match="call them"):
        tell_refused(order.pk, 1, "", CLERK)


def test_a_word_too_long_comes_back(client, order):
    """With what was typed, and nothing written."""
    page = press(client, order, words="w" * 501)
    assert page.status_code == 422 and "w" * 501 in page.content.decode()
    assert not Notice.objects.filter(kind=Kind.REFUSED).exists()


def test_taken_back_it_is_set_right(order):
    """Who was written to that it can't be made, of the wrong line, is written to that it can."""
    tell_refused(order.pk, 1, "", CLERK)
    sweep()
    refusal = order.events.filter(act="refused").get()
    take_back(order.pk, refusal.number, "the other line", MANAGER)
    sweep()
    assert [sent.subject.partition(":")[0] for sent in mail.outbox][1:] == ["Please disregard"]


def test_made_after_all_before_it_went(order, built):
    """What is no longer so is not mailed."""
    tell_refused(order.pk, 1, "", CLERK)
    line = order.lines.get(number=1)
    give_dates(built[1].pk, {line.pk: timezone.localdate() + timedelta(40)}, FACTORY)
    sweep()
    dropped = Notice.objects.get(kind=Kind.REFUSED)
    assert dropped.dropped_at and dropped.last_error == "the factory makes it after all"
    assert [sent.subject for sent in mail.outbox] == [
        f"Order {order.number}: the factory has given a date"
    ]


def test_refused_again_it_is_told_again(order, built):
    """Another refusal is another letter."""
    tell_refused(order.pk, 1, "", CLERK)
    sweep()
    line = order.lines.get(number=1)
    give_dates(built[1].pk, {line.pk: timezone.localdate() + timedelta(40)}, FACTORY)
    cannot_make(built[1].pk, [line.pk], WHY, FACTORY)
    tell_refused(order.pk, 1, "", CLERK)
    assert Notice.objects.filter(kind=Kind.REFUSED).count() == 2


def test_not_to_who_was_erased(order):
    cancel(order.pk, [1, 2], "they agreed", MANAGER, tells=False, no_return=True)
    erase_customer(order.customer_id, "max", at=timezone.now())
    with pytest.raises(NotAllowed, match="has been erased"):
        tell_refused(order.pk, 1, "", CLERK)
