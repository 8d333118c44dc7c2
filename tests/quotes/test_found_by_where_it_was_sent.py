"""Whom a quote was mailed to is found by that address, though it is none of their contacts'."""

import pytest

from ordering.events import place_from_quote
from ordering.lists.finding import find_orders
from quotes.desk.accepting import accept
from quotes.desk.people import merge_customers, save_customer
from quotes.desk.posting import send_quote
from quotes.lists.people import find_customers
from quotes.lists.quotes import find_quotes
from quotes.models import Contact, Customer
from tests.ordering.placed import CLERK, load_shop
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")
SENT_TO = "Office@Harbor-Sash.example"


def build():
    load_shop()


def test_found_by_where_it_was_sent():
    """The customer, the quote and the order, by the whole address or a scrap of it; nobody's contact changes."""
    issue = shop.issued_quote(caller="Ida Lorne", email="ida@lorne.example")
    assert not find_customers(SENT_TO)
    send_quote(issue.pk, SENT_TO, "ann")
    accept(issue.pk, name="Ida", ticked=[sheet["name"] for sheet in issue.document["openings"]])
    order = place_from_quote(issue.quote_id, CLERK)
    for scrap in (SENT_TO, "harbor-sash"):
        assert list(find_customers(scrap)) == [issue.quote.customer]
        assert list(find_quotes(scrap).every()) == [issue.quote]
        assert list(find_orders(scrap).every()) == [order]
    assert Contact.objects.filter(email=SENT_TO).count() == 0


def test_still_found_after_other_changes():
    """A customer changed or merged later on is found as before."""
    issue = shop.issued_quote(caller="Ida Lorne", email="ida@lorne.example")
    send_quote(issue.pk, SENT_TO, "ann")
    customer = Customer.objects.get(quotes__issues=issue)
    save_customer(customer)
    assert list(find_customers(SENT_TO)) == [customer]
    kept = save_customer(Customer(name="Lorne and Daughters"))
    merge_customers(kept.pk, customer.pk, "ann")
    assert list(find_customers(SENT_TO)) == [kept]
