"""A table that gets dearer while a quote is out: the desk reads it until the quote is ordered, and after that what was so then."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from fixtures.build import liner
from ordering.events import place_from_quote
from ordering.events.log import Who
from quotes.desk.accepting import accept, ask_for_changes
from quotes.models import Issue
from sizing.tables import import_workbook
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")
DEARER = "OHL-05LS was quoted at 78.60 USD, its list price is now 83.60."


def build():
    shop.set_up()


def dearer(by="5.00"):
    """The liner's next table, each price raised, in force from today."""
    table = liner()
    parts = tuple(replace(p, price=p.price and p.price + Decimal(by)) for p in table.parts)
    import_workbook(replace(table, parts=parts), "next", [], timezone.localdate(), "ann")


def read(clerk, issue):
    return unescape(clerk.get(reverse("quote-issue", args=[issue.quote_id, issue.number])).text)


def sent_back(**more):
    issue = shop.issued_quote()
    ask_for_changes(issue.pk, name="Mara Quill", measures={}, words="Another colour?", **more)
    return issue


def test_whoever_answers_what_was_sent_back_reads_it(clerk):
    """Before the clerk lets the issue stand, they know that it stands at the old prices."""
    issue = sent_back()
    dearer()
    page = read(clerk, issue)
    assert DEARER in page and "Let stand, the issue holds as it stands until" in page


def test_of_one_past_its_day_nobody_reads_that_it_holds(clerk):
    """Sent back, then lapsed: a next issue is all there is."""
    issue = sent_back()
    Issue.objects.update(valid_until=timezone.localdate() - timedelta(days=1))
    dearer()
    page = read(clerk, issue)
    assert DEARER in page and "holds as it stands" not in page


def test_what_was_accepted_is_ordered_at_its_prices_and_the_desk_reads_what_moved(clerk):
    """Until it is ordered as of today, after that as it was when the customer accepted."""
    issue = shop.issued_quote()
    dearer()
    accept(issue.pk, name="Mara Quill", ticked=["Opening 1, Kitchen"])
    page = read(clerk, issue)
    assert DEARER in page and "Its prices hold as accepted" in page
    order = place_from_quote(issue.quote_id, Who("ann", "counter"))
    assert order.lines.get().unit_price.amount == Decimal("78.60")
    dearer("9.00")
    page = read(clerk, issue)
    assert "Prices had moved when it was accepted" in page and DEARER in page
