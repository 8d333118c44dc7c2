"""On a narrow screen no number of the desk's own is torn apart at its hyphen."""

import pytest
from django.urls import reverse

from quotes.links import token_of
from tests.browser.days import open_shop
from tests.ordering.placed import sent_order
from tests.quotes import shop

# Numbers of orders, factory orders and parts that stand in more than one line of the page.
TORN = r"""() => {
  const torn = [], walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  for (let text; (text = walk.nextNode());)
    for (const found of text.data.matchAll(/\b(?:[CF]-\d{5}|OHL-\w+)/g)) {
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


def _whole_at_every_width(page):
    for details in page.locator("main details").all():
        details.evaluate("e => e.open = true")
    for width in range(320, 420, 4):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate(TORN) == [], width
