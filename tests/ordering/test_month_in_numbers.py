"""At the end of a month the manager reads what it came to: orders, quotes lost and why, specials, late parts."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from ordering.events import HandLine, cancel, give_dates, place_by_hand, shipped
from ordering.lists.month import month_of
from ordering.models import OrderLine
from quotes.desk.accepting import ask_for_changes, take_back
from quotes.desk.drafts import next_issue
from quotes.desk.issuing import issue_quote
from quotes.models import ChangeAsked, Issue, Quote
from sizing.models import Family
from tests.ordering.placed import CLERK, FACTORY, load_shop, sent_order, user
from tests.quotes.shop import cottage_opening, issued_quote, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    """A quote accepted and ordered with a special, an order by hand, a quote that ran out, one still out."""
    load_shop()
    order, sent = sent_order(part_opening(quantity=3), cottage_opening())
    cord = [HandLine("", "Cord", 2, Decimal("4.50"))]
    place_by_hand(order.customer_id, cord, CLERK)
    place_by_hand(order.customer_id, [HandLine("", "A latch", 1)], CLERK)
    gone = issued_quote(part_opening("Hall"), caller="Nils Farrow", phone="802 555 0199", email="")
    Issue.objects.filter(pk=gone.pk).update(valid_until=timezone.localdate() - timedelta(days=1))
    issued_quote(part_opening("Den"), caller="Una Fell", phone="802 555 0198", email="")
    return order, sent


@pytest.fixture
def first():
    # On the first of a month what ran out yesterday is of the month before.
    return timezone.localdate().replace(day=1)


def lost_of(first):
    return month_of((timezone.localdate() - timedelta(days=1)).replace(day=1))


def test_orders_taken(built, first):
    """By currency, with what they are worth; those not priced are counted apart. Specials among lines for factories."""
    month = month_of(first)
    (taken,) = month.taken
    order, _sent = built
    assert (taken.currency, taken.orders, taken.by_hand, taken.unpriced) == ("USD", 3, 2, 1)
    assert taken.worth == order.total + 9
    assert (month.specials, month.made, month.specials_percent) == (1, 2, 50)


def test_what_was_cancelled_since_is_said(built, first):
    """What was taken stays as it was taken; whole orders are said with their worth, others by their number."""
    order, _sent = built
    (taken,) = month_of(first).taken
    assert (taken.gone, taken.gone_worth, taken.fewer) == (0, 0, 0)
    cancel(order.pk, [1], "one window less", CLERK, tells=False, counts={1: 1})
    latch = OrderLine.objects.get(description="A latch").order
    cord = OrderLine.objects.get(description="Cord").order
    for one in (latch, cord):
        cancel(one.pk, [1], "bought elsewhere", CLERK, tells=False)
    (now,) = month_of(first).taken
    assert (now.gone, now.gone_worth, now.fewer) == (2, 9, 1)
    assert (now.orders, now.worth) == (taken.orders, taken.worth)
    client = Client()
    client.force_login(user("max", "manager"))
    page = client.get(reverse("month"), {"month": f"{first:%Y-%m}"}).text
    assert "of it 9.00 cancelled since, 2 whole orders" in page
    assert "a part of 1 more order cancelled since" in page


def test_sent_back_is_a_reason(first):
    """What was lost as we did not answer is counted so, as it is listed."""
    issue = Issue.objects.get(valid_until__lt=timezone.localdate())
    ChangeAsked.objects.create(issue=issue, name="Nils", words="the other finish")
    month = lost_of(first)
    assert month.reasons == [("sent back, and not answered by us", 1)]
    assert month.lost[0].why == month.reasons[0][0] and month.lost_count == 1


def test_quotes_and_what_became_of_them(first):
    """Issued, accepted by now, still out; one that ran out is lost, with the reason once the desk has said it."""
    month = month_of(first)
    assert (month.issued, month.accepted, month.open) == (3, 1, 1)
    (lost,) = lost_of(first).lost
    assert (lost.customer, lost.why) == ("Nils Farrow", "") and lost.total > 0
    client = Client()
    client.force_login(user())
    page = client.get(reverse("quote", args=[lost.quote])).text
    assert "Why nothing came of it" in page
    client.post(reverse("quote-lost", args=[lost.quote]), {"why": "too dear"})
    assert Quote.objects.get(pk=lost.quote).lost_because == "too dear"
    found = lost_of(first)
    assert found.lost[0].why == "too dear" and found.reasons == [("too dear", 1)]


def test_what_left_and_what_of_it_late(built, first):
    """By factory: lines that left after the last day told, and after the day that the factory gave."""
    order, sent = built
    line, today = order.lines.first(), timezone.localdate()
    give_dates(sent.pk, {line.pk: today}, FACTORY)
    shipped(sent.pk, {line.pk: 3}, today, FACTORY)
    (left,) = month_of(first).left
    assert (left.lines, left.late, left.broken) == (1, 0, 0)
    day = today - timedelta(days=1)
    OrderLine.objects.filter(pk=line.pk).update(told_latest=day, promised_on=day)
    (left,) = month_of(first).left
    assert (left.lines, left.late, left.broken) == (1, 1, 1)


@pytest.mark.parametrize("what", ["taken back", "sent back", "made no more", "next issue out"])
def test_what_can_still_be_accepted(first, what):
    """A quote that its customer can't accept is not counted as one that can, whatever its last day."""
    issue = Issue.objects.latest("pk")
    if what == "taken back":
        take_back(issue.pk, "ann", "a wrong price")
    elif what == "sent back":
        ask_for_changes(issue.pk, name="Una", measures={}, words="the other finish")
    elif what == "made no more":
        Family.objects.update(not_made_from=timezone.localdate())
    else:
        issue_quote(next_issue(issue.quote_id).pk, "ann")
    month = month_of(first)
    assert (month.issued, month.accepted) == (3, 1)
    assert (month.open, month.back) == (what == "next issue out", "back" in what)


@pytest.mark.parametrize("asked", ["", "?month=2026-13", "?month=never", "?month=9999-12"])
def test_a_month_that_is_none_is_this_one(first, asked):
    """So is one that has not come yet."""
    client = Client()
    client.force_login(user("max", "manager"))
    page = client.get(reverse("month") + asked)
    assert page.status_code == 200 and page.context["month"].first == first


@pytest.mark.parametrize("asked", ["0001-01", "2019-02"])
def test_a_month_before_anything_is_empty(asked):
    """However long ago, also where the calendar begins."""
    client = Client()
    client.force_login(user("max", "manager"))
    page = client.get(reverse("month"), {"month": asked})
    month = page.context["month"]
    assert page.status_code == 200 and not (month.taken or month.made or month.issued or month.left)
