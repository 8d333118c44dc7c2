"""On a narrow screen no number of the desk's own is torn apart at its hyphen."""

import pytest
from django.urls import reverse

from ordering.events import place_from_quote
from quotes.desk.accepting import accept
from quotes.desk.issuing import issue_quote
from quotes.links import token_of
from quotes.models import Customer
from tests.browser.days import open_shop
from tests.ordering.placed import CLERK, sent_order
from tests.quotes import shop

THEIRS, CERTIFICATE = "4500-118-0227", "VT-88-1204-EX"
# Numbers of orders, factory orders and parts, and of customers, that stand in more than one line of the page.
TORN = r"""() => {
  const torn = [], walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  for (let text; (text = walk.nextNode());)
    for (const found of text.data.matchAll(/\b(?:[CF]-\d{5}|OHL-\w+|4500-118-0227|VT-88-1204-EX)/g)) {
      const range = document.createRange();
      range.setStart(text, found.index);
      range.setEnd(text, found.index + found[0].length);
      if (new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1) torn.push(found[0]);
    }
  return torn;
}"""


@pytest.mark.parametrize("name", ["order", "when"])
def test_whole(page, name):
    """However wide the page is."""
    open_shop()
    order, sent = sent_order()
    page.goto(reverse(name, args=[order.pk]) if name == "order" else f"/when/?q={order.number}")
    assert sent.number in page.locator("main").inner_text()
    _whole_at_every_width(page)


@pytest.mark.parametrize("name", ["quote", "public", "request"])
def test_part_numbers_whole(page, name):
    """On a quote as the desk and as the customer read it, and at the counter, which names the class beside."""
    issue = shop.issued_quote()
    addresses = {
        "quote": reverse("quote", args=[issue.quote_id]),
        "public": reverse("quote-public", args=[token_of(issue.link.nonce)]),
        "request": reverse("request", args=[issue.quote.request_id]),
    }
    page.goto(addresses[name])
    assert "OHL-" in page.locator("main").inner_text()
    _whole_at_every_width(page)


@pytest.mark.parametrize("name", ["quote", "public", "order", "their order"])
def test_customers_own_numbers_whole(page, name):
    """The number that the customer's books have, and that of an exemption, as the desk and as they read them."""
    open_shop()
    issue = shop.draft_quote(shop.part_opening())
    Customer.objects.filter(pk=issue.quote.customer_id).update(exemption_number=CERTIFICATE)
    issued = issue_quote(issue.pk, "ann")
    ticked = [sheet["name"] for sheet in issued.document["openings"]]
    accept(issued.pk, name="Mara Quill", ticked=ticked, their_number=THEIRS)
    order = place_from_quote(issued.quote_id, CLERK)
    addresses = {
        "quote": reverse("quote", args=[issued.quote_id]),
        "public": reverse("quote-public", args=[token_of(issued.link.nonce)]),
        "order": reverse("order", args=[order.pk]),
        "their order": reverse("order-public", args=[token_of(order.nonce)]),
    }
    page.goto(addresses[name])
    said = page.locator("main").inner_text()
    assert THEIRS in said and (CERTIFICATE in said or "order" in name)
    _whole_at_every_width(page)


# Measures whose name takes more than a line, and numbers that part from their unit.
BROKEN = r"""() => {
  const lines = (node, from, to) => {
    const range = document.createRange();
    range.setStart(node, from);
    range.setEnd(node, to);
    return new Set([...range.getClientRects()].map(box => Math.round(box.top))).size;
  };
  const broken = [], walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  for (let text; (text = walk.nextNode());) {
    if (text.parentElement.matches(".measured tbody th") && lines(text, 0, text.length) > 1) broken.push(text.data);
    for (const found of text.data.matchAll(/\d[ \u00a0](?:in|lb|mm|kg)\b/g))
      if (lines(text, found.index, found.index + found[0].length) > 1) broken.push(text.data);
  }
  return broken;
}"""


@pytest.mark.parametrize("name", ["quote", "public"])
def test_measures_whole(page, name):
    """A measure's name is one line of a phone, and "13" does not stand apart from "lb"."""
    issue = shop.issued_quote()
    addresses = {
        "quote": reverse("quote", args=[issue.quote_id]),
        "public": reverse("quote-public", args=[token_of(issue.link.nonce)]),
    }
    page.goto(addresses[name])
    assert "lb" in page.locator(".measured").inner_text()
    _whole_at_every_width(page, BROKEN)


def _whole_at_every_width(page, broken=TORN):
    for details in page.locator("main details").all():
        details.evaluate("e => e.open = true")
    for width in range(320, 420, 4):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate(broken) == [], width
