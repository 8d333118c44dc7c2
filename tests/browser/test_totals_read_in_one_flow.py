"""On a phone the words beside a total are read on in one flow, numbers among them and all."""

import pytest
from django.urls import reverse

from quotes.desk.issuing import issue_quote
from quotes.links import token_of
from quotes.models import Customer
from tests.browser.days import open_shop
from tests.quotes import shop

# What stands beside an amount is laid out as text, not as columns of its pieces.
IN_COLUMNS = """() => [...document.querySelectorAll(".lines tfoot th")]
  .filter(th => th.children.length && getComputedStyle(th).display.includes("flex")).map(th => th.textContent)"""


@pytest.fixture
def issue(page):
    page.set_viewport_size({"width": 390, "height": 844})
    open_shop()
    draft = shop.draft_quote(shop.part_opening())
    Customer.objects.filter(pk=draft.quote.customer_id).update(exemption_number="VT-88-1204-EX")
    return issue_quote(draft.pk, "ann")


@pytest.mark.parametrize("name", ["quote", "public"])
def test_an_exemption_is_read_on(page, issue, name):
    """The certificate's number and its last day stand in the sentence, as the desk and as the customer read it."""
    addresses = {
        "quote": reverse("quote", args=[issue.quote_id]),
        "public": reverse("quote-public", args=[token_of(issue.link.nonce)]),
    }
    page.goto(addresses[name])
    assert "VT-88-1204-EX" in page.locator(".lines tfoot").inner_text()
    assert page.evaluate(IN_COLUMNS) == []
