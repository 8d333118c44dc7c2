"""A quote with terms, a break, freight and tax, worked out by hand."""

import datetime
from decimal import Decimal

import pytest

from quotes.desk.drafts import Head, change_head
from quotes.desk.people import save_customer
from quotes.lists.issues import document_of
from quotes.models import Address
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def issue():
    shop.set_up()
    issue = shop.draft_quote(shop.part_opening(quantity=4), shop.part_opening("Hall", 3, "ash"))
    customer = issue.quote.customer
    customer.terms = "trade"
    address = Address(street="14 Alder Row", town="Larkford", region="VT", country="US")
    save_customer(customer, addresses=[address])
    change_head(issue.pk, Head(address, False, None, "", 30))
    issue.refresh_from_db()
    return issue


def test_by_hand(issue):
    """4 x 78.60 and 3 x 74.35 at 2.5 % off, 7.5 % terms, one parcel, 6.125 % tax, 40 % deposit.

    306.54 + 217.47 = 524.01 (306.54 = 314.40 x .975; 217.47375 down); discount 39.30; freight 23.40;
    tax 484.71 x .06125 = 29.6885, up to 29.69; total 537.80; deposit 215.12.
    """
    sums = document_of(issue).sums
    assert [str(a) for a in (sums.goods, sums.discount, sums.freight, sums.tax, sums.total)] == [
        "524.01", "39.30", "23.40", "29.69", "537.80",
    ]  # fmt: skip
    assert str(sums.deposit) == "215.12"


def test_an_exempt_customer_pays_no_tax_and_the_quote_says_why(issue):
    """The certificate's number and end stand in the document."""
    customer = issue.quote.customer
    customer.exemption_number = "QX-55"
    customer.exemption_expires = datetime.date(2099, 1, 1)
    customer.save()
    document = document_of(issue)
    assert document.sums.tax == Decimal("0.00")
    assert "exempt, certificate QX-55" in document.tax_words
