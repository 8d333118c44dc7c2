"""Two clerks who take the same order are told of each other, before it is ordered and before it is sent."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from ordering.events import HandLine, cancel, place_by_hand, place_from_quote, send_to_factories
from ordering.links import page_of
from ordering.lists.lately import LATELY
from ordering.models import Order
from quotes.desk.accepting import accept
from quotes.desk.issuing import issue_quote
from quotes.links import address_of
from tests.ordering.placed import CLERK, load_shop, placed_order, user
from tests.quotes.shop import draft_of, draft_quote, load_liner, part_opening

pytestmark = pytest.mark.usefixtures("built")
WARNED = ", too.</strong>"


def build():
    load_shop()
    return placed_order()


@pytest.fixture
def desk():
    client = Client()
    client.force_login(user())
    return client


def page_of_quote(desk, issue):
    return desk.get(reverse("quote", args=[issue.quote_id])).text


def page_of_order(desk, order):
    return desk.get(reverse("order", args=[order.pk])).text


def second_issue():
    """Their second call: a request and a quote of its own, for the same window."""
    return issue_quote(draft_quote(part_opening("Bay")).pk, "ann")


def by_hand(order, *numbers):
    lines = [HandLine(number, "", 1) for number in numbers] or [HandLine("", "Screws", 1)]
    return place_by_hand(order.customer_id, lines, CLERK)


def number_of(order):
    return order.lines.first().part_number


def test_a_quote_of_another_call(desk, built):
    """As a draft, as an issue, and as long as it is accepted and waits; not on the customer's page."""
    draft = draft_quote(part_opening("Bay"))
    assert draft.quote.customer_id == built.customer_id
    page = page_of_quote(desk, draft)
    assert f"holds {number_of(built)}{WARNED}" in page and reverse("order", args=[built.pk]) in page
    issue = issue_quote(draft.pk, "ann")
    assert WARNED in page_of_quote(desk, issue)
    public = Client().get("/" + address_of(issue).split("/", 3)[3]).text
    assert built.number not in public
    accept(issue.pk, name="Mara Quill", ticked=[issue.document["openings"][0]["name"]])
    assert WARNED in page_of_quote(desk, issue)
    order = place_from_quote(issue.quote_id, CLERK)
    assert WARNED not in page_of_quote(desk, issue)
    assert WARNED in page_of_order(desk, order) and WARNED in page_of_order(desk, built)
    assert built.number not in Client().get("/" + page_of(order).split("/", 3)[3]).text


def test_an_order_by_hand(desk, built):
    """What they have is on the page before it is typed, and the new order says so."""
    page = desk.get(reverse("order-by-hand"), {"customer": built.customer_id}).text
    assert f"holds {number_of(built)}." in page
    assert WARNED in page_of_order(desk, by_hand(built, number_of(built)))


def test_not_once_the_lines_are_sent(desk, built):
    """What a factory has is looked at no more; the other order, still to be sent, goes on warning."""
    order = by_hand(built, number_of(built))
    send_to_factories([order.lines.get().pk], CLERK)
    assert WARNED not in page_of_order(desk, order)
    assert WARNED in page_of_order(desk, built)


@pytest.mark.parametrize("how", ["cancelled", "long ago", "another customer"])
def test_not_of_what_is_no_second_one(desk, built, how):
    """A cancelled order, one of long ago and another's are none; the day before, it would have been one."""
    orders = Order.objects.filter(pk=built.pk)
    today = timezone.localdate()
    orders.update(placed_on=today - LATELY)
    issue = second_issue() if how != "another customer" else None
    if issue:
        assert WARNED in page_of_quote(desk, issue)
    if how == "cancelled":
        cancel(built.pk, [1], "not wanted", CLERK, tells=False)
    elif how == "long ago":
        orders.update(placed_on=today - LATELY - timedelta(days=1))
    else:
        issue = issue_quote(draft_quote(caller="Ida Lorne", phone="", email="").pk, "ann")
    assert WARNED not in page_of_quote(desk, issue)


def test_not_of_other_parts_nor_of_the_same_call(desk, built):
    """Another finish is another part; of the quote's own request the quote speaks already."""
    other = draft_quote(part_opening("Bay", finish="ash"))
    assert WARNED not in page_of_quote(desk, other)
    again = draft_of(built.acceptance.quote.request)
    page = page_of_quote(desk, again)
    assert "is accepted already" in page and WARNED not in page
    assert WARNED not in page_of_order(desk, by_hand(built))


def test_the_same_part_of_a_newer_table(desk, built):
    """A revision put in force between the two calls makes no other part of it."""
    first = built.lines.get().part
    load_liner()
    issue = draft_quote(part_opening("Bay"))
    assert issue.lines.get().part_id != first.pk
    assert WARNED in page_of_quote(desk, issue)


def test_it_asks_as_often_for_many(desk, built):
    """One question, however many orders and parts."""
    issue = second_issue()
    page_of_quote(desk, issue)
    counts = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as seen:
            page_of_quote(desk, issue)
        counts.append(len(seen))
        for _ in range(5):
            by_hand(built, number_of(built))
    assert counts[0] == counts[1]


def test_of_a_customer_who_orders_daily_three_are_named(desk, built):
    """And the rest are a press away."""
    issue = second_issue()
    for _ in range(3):
        by_hand(built, number_of(built))
    page = page_of_quote(desk, issue)
    assert page.count(WARNED) == 3
    assert f"{reverse('orders')}?stands=open&amp;customer={built.customer_id}" in page
