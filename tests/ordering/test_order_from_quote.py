"""An accepted quote becomes one order, with the quote's own lines."""

from decimal import Decimal
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.events import PlacingError, place_from_quote
from ordering.models import Event, Notice, Order
from quotes.desk.drafts import next_issue
from quotes.desk.posting import send_quote
from quotes.lists.issues import moved_prices
from quotes.models import Customer
from sizing.models import Family
from sizing.tables import stop_offering
from tests.ordering.placed import CLERK, accepted_quote, load_shop, user
from tests.quotes.shop import issued_quote, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def test_lines_are_the_quotes():
    """Part, words, quantity and price are those the customer accepted."""
    quote = accepted_quote(part_opening(quantity=3), hand=True)
    order = place_from_quote(quote.pk, CLERK)
    part, screws = order.lines.all()
    accepted = quote.acceptance.issue.lines.first()
    assert (part.part, part.quantity) == (accepted.part, 3)
    assert part.unit_price.amount == accepted.unit_price
    assert part.factory.name == "Otter Hollow Millwork"
    assert (screws.description, screws.factory) == ("Box of screws", None)
    assert order.total == Decimal(quote.acceptance.issue.document["sums"]["total"])


def test_pressed_twice_it_is_one():
    """The second press finds the first one's order: one event, one notice."""
    quote = accepted_quote()
    first = place_from_quote(quote.pk, CLERK)
    assert place_from_quote(quote.pk, CLERK) == first
    assert (Order.objects.count(), Event.objects.count(), Notice.objects.count()) == (1, 1, 1)


def test_not_accepted_is_refused():
    """A quote without the customer's word makes no order."""
    with pytest.raises(PlacingError, match="not accepted"):
        place_from_quote(issued_quote().quote_id, CLERK)
    assert not Order.objects.exists()


def test_the_customer_is_told_a_window():
    """The notice of the order names the part and the window from the lead times."""
    order = place_from_quote(accepted_quote().pk, CLERK)
    notice = Notice.objects.get()
    line = order.lines.get()
    assert line.part_number in notice.body
    assert f"{line.told_latest.day} {line.told_latest:%B}" in notice.body
    assert line.told.get().latest == line.told_latest


@pytest.mark.parametrize(("channel", "told"), [("email", "mara@quill.example"), ("phone", "")])
def test_who_read_the_quote_by_mail_is_written_to(channel, told):
    """Nobody noted the caller's address but whoever sent the quote there: the order's mails go there too."""
    quote = accepted_quote(part_opening(), email="")
    send_quote(quote.acceptance.issue_id, "mara@quill.example", "ann")
    Customer.objects.filter(pk=quote.customer_id).update(channel=channel)
    assert place_from_quote(quote.pk, CLERK).email == told
    assert Notice.objects.get().to == told


def test_the_next_issue_is_offered_to_the_same_address(client):
    issue = issued_quote(part_opening(), email="")
    send_quote(issue.pk, "mara@quill.example", "ann")
    next_issue(issue.quote_id)
    client.force_login(user())
    page = client.get(reverse("quote", args=[issue.quote_id])).content.decode()
    assert "Issue and mail to mara@quill.example" in page


def test_what_is_not_made_any_more_gets_no_order_and_no_day(client):
    """Accepted after its factory gave it up: nobody is told a day; the desk reads what to do."""
    quote = accepted_quote(part_opening())
    family = Family.objects.get()
    stop_offering(family, timezone.localdate())
    (moved,) = moved_prices(quote.acceptance.issue)
    assert "has not been made since" in moved
    client.force_login(user())
    page = unescape(client.post(reverse("place-order", args=[quote.pk]), follow=True).text)
    assert f"{quote}: " in page and "call the customer" in page
    assert not Order.objects.exists() and not Notice.objects.exists()
    assert quote.number in page, "it waits on among the accepted quotes"
    stop_offering(family, None)
    assert place_from_quote(quote.pk, CLERK).lines.count() == 1
