"""A program that sends more than a box takes gets one sentence; nothing is cut and nothing kept."""

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.links import page_of_factory
from ordering.models import Event, Shutdown
from ordering.states import Act
from quotes.desk.accepting import take_back
from quotes.models import ChangeAsked, Quote
from sizing.box_length import too_long
from sizing.models import Factory
from tests.ordering.placed import load_shop, sent_order, user
from tests.quotes import shop, specials

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("x" * 10, ""),
        (f"  {'x' * 10}\n", ""),
        # What a browser counts as ten it sends as eleven.
        ("xxxx\r\nxxxxx", ""),
        ("x" * 11, "Why: 11 letters are too many, 10 fit. Shorten it."),
    ],
)
def test_as_a_browser_counts(typed, said):
    """Space around the words is none of them, and a line break is one letter."""
    assert too_long(typed, 10, "Why") == said


def said(client, address, **posted):
    return client.post(address, posted, follow=True).content.decode()


@pytest.fixture
def desk(client):
    load_shop()
    client.force_login(user("max", "manager"))
    return client


def test_why_a_quote_was_lost(desk):
    issue = shop.issued_quote()
    page = said(desk, reverse("quote-lost", args=[issue.quote_id]), why="x" * 101)
    assert "Why nothing came of it: 101 letters are too many, 100 fit." in page
    assert Quote.objects.get().lost_because == ""


def test_why_a_quote_is_taken_back(desk):
    issue = shop.issued_quote()
    page = said(desk, reverse("quote-take-back", args=[issue.pk]), why="x" * 2001)
    assert "What is wrong: 2001 letters are too many" in page
    assert not ChangeAsked.objects.exists()


def test_what_a_customer_is_answered(desk):
    issue = shop.issued_quote()
    take_back(issue.pk, "ann", "a wrong price")
    page = said(desk, reverse("quote-settle", args=[issue.quote_id]), answer="x" * 2001)
    assert "Your answer: 2001 letters are too many" in page
    assert ChangeAsked.objects.get().done_at is None


def test_why_a_special_is_put_aside(desk):
    special = specials.asked().special
    address = reverse("special-do", args=[special.pk])
    assert "Why: 501 letters are too many" in said(desk, address, do="close", why="x" * 501)
    special.refresh_from_db()
    assert special.state == "asked"


def test_why_something_happened_to_an_order(desk):
    order, _sent = sent_order()
    page = said(desk, reverse("order-note", args=[order.pk]), why="x" * 501)
    assert "The reason: 501 letters are too many" in page
    assert not Event.objects.filter(act=Act.NOTED).exists()


def test_why_a_factory_is_shut(desk):
    factory = Factory.objects.get()
    day = timezone.localdate().isoformat()
    address = reverse("factory-calendar", args=[factory.pk])
    assert "Why: 121 letters are too many" in said(desk, address, first=day, note="x" * 121)
    assert not Shutdown.objects.exists()


def test_who_answers_for_a_factory(client):
    """A name too long is told; a name that fits is kept whole, however long its factory's is."""
    load_shop()
    _order, sent = sent_order()
    address = page_of_factory(sent).removeprefix("http://testserver")
    day = timezone.localdate().isoformat()
    page = said(client, address, do="have", name="x" * 101, all=day)
    assert "Your name: 101 letters are too many, 100 fit." in page
    assert not Event.objects.filter(act=Act.ACKNOWLEDGED).exists()
    said(client, address, do="have", name="x" * 100)
    assert "x" * 100 in Event.objects.get(act=Act.ACKNOWLEDGED).by
