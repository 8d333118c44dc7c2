"""Whoever cannot sign in any more gets no answers: a factory's words and customers' replies come to the shop."""

import pytest
from django.contrib.auth.models import User
from django.core import mail

from ordering.events import Who, say
from ordering.models import Notice
from ordering.sending import send_notice
from quotes.desk.posting import send_letter
from quotes.models import Letter, Shop
from tests.ordering.placed import load_shop, sent_order, user

pytestmark = [pytest.mark.usefixtures("built"), pytest.mark.database]
SHOP = "counter@tarnbrook.example"


def build():
    load_shop()
    Shop.objects.update_or_create(pk=1, defaults={"name": "Tarnbrook", "email": SHOP})


def left():
    User.objects.filter(username="ann").update(is_active=False)


def test_what_a_factory_says_reaches_the_shop(built):
    """Its words go to whoever sent the order, as long as they are there."""
    _order, sent = sent_order()
    say(sent.pk, "The slate is out.", Who("Jo", "factory"))
    left()
    say(sent.pk, "And the oak?", Who("Jo", "factory"))
    letters = Letter.objects.filter(cause__startswith="said of ").order_by("pk")
    assert [one.to for one in letters] == ["ann@tarnbrook.example", SHOP]


def test_a_customers_reply_reaches_the_shop(built):
    """A notice of an order that somebody took who has left."""
    left()
    sent_order()
    assert {one.reply_to for one in Notice.objects.exclude(to="")} == {SHOP}


def test_what_waited_meanwhile_comes_to_the_shop(built):
    """Mail written while they were there, of which the server took half before they left."""
    _order, sent = sent_order()
    say(sent.pk, "The slate is out.", Who("Jo", "factory"))
    first, second = Notice.objects.exclude(to="").order_by("pk")[:2]
    assert {first.reply_to, second.reply_to} == {"ann@tarnbrook.example"}
    assert send_notice.func(first.pk)
    left()
    assert send_notice.func(second.pk)
    assert send_letter.func(Letter.objects.get(cause__startswith="said of ").pk)
    assert [one.reply_to for one in mail.outbox] == [["ann@tarnbrook.example"], [SHOP], [SHOP]]
    assert mail.outbox[-1].to == [SHOP]


def test_the_owner_reads_what_becomes_of_answers(client):
    """Switched off: where answers come to now, and the address that has still to be read."""
    client.force_login(user("ida", "owner"))
    ann = User.objects.get(username="ann")
    page = client.post(f"/shop/people/{ann.pk}/switch/", follow=True).text
    assert f"writes to {SHOP}" in page and "to ann@tarnbrook.example: have it read" in page
