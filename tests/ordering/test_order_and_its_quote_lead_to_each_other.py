"""Months later a customer finds from whichever link they kept how the order stands and what they accepted."""

from datetime import timedelta
from decimal import Decimal
from io import BytesIO

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from ordering.events import HandLine, place_by_hand, place_from_quote, take_deposit, write
from ordering.links import page_of
from ordering.states import Act
from quotes.links import address_of, token_of
from quotes.models import Customer, Link
from tests.ordering.placed import CLERK, MANAGER, accepted_quote, load_shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    Customer.objects.update(terms="trade")
    return accepted_quote()


def shown(address):
    answer = Client().get("/" + address.split("/", 3)[3])
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_quote_leads_to_the_order_once_it_is_placed(built):
    """Until then nothing is promised; afterwards the accepted issue links to the order's page."""
    quote = address_of(built.acceptance.issue)
    assert "/o/" not in shown(quote)
    order = place_from_quote(built.pk, CLERK)
    assert page_of(order) in shown(quote)


def test_the_order_gives_the_paper_that_was_accepted(built):
    """As it was accepted, also when the quote's own link has long expired; an order by hand has none."""
    order = place_from_quote(built.pk, CLERK)
    Link.objects.update(expires_at=timezone.now() - timedelta(days=200))
    address = reverse("order-quote-pdf", args=[token_of(order.nonce)])
    assert address in shown(page_of(order))
    paper = Client().get(address)
    text = PdfReader(BytesIO(paper.content)).pages[0].extract_text()
    assert paper["Content-Type"] == "application/pdf" and built.number in text
    by_hand = place_by_hand(order.customer_id, [HandLine("", "Cord", 1, Decimal("4.00"))], CLERK)
    address = reverse("order-quote-pdf", args=[token_of(by_hand.nonce)])
    assert address not in shown(page_of(by_hand)) and Client().get(address).status_code == 404


def test_the_order_says_what_it_costs_and_what_is_paid(built):
    """Its total and what was received; of what is cancelled no amount is promised."""
    order = place_from_quote(built.pk, CLERK)
    page = shown(page_of(order))
    assert f"{order.total:,.2f} USD" in page and "Paid so far" not in page
    take_deposit(order.pk, Decimal("20.0000"), "cheque of her brother", CLERK)
    page = shown(page_of(order))
    assert "Paid so far" in page and "20.00 USD" in page and "brother" not in page
    assert "deposit received 20.00 USD" in page
    assert "we settle with you" not in page
    write(order.pk, Act.CANCELLED, {1: 1}, MANAGER, why="bad debts")
    assert "what comes off we settle with you" in shown(page_of(order))
