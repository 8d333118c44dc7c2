"""A page that is opened to type one thing begins in its box, without a Tab."""

from django.urls import reverse
from playwright.sync_api import expect

from ordering.events import say
from tests.browser.days import open_shop
from tests.ordering.placed import FACTORY, sent_order


def test_a_message_is_pasted_at_once(page):
    """The clipboard holds it already."""
    page.goto("/requests/pasted/")
    expect(page.locator("#text")).to_be_focused()


def test_what_a_factory_says_by_phone(page):
    """Its first open date; where its own words wait, they are read first. After a date what was done is read."""
    open_shop()
    order, sent = sent_order()
    date = page.locator(f"#date-{order.lines.get().pk}")
    page.goto(reverse("factory-order", args=[sent.pk]))
    expect(date).to_be_focused()
    date.fill("2099-01-01")
    page.keyboard.press("Control+Shift+Enter")
    expect(page.locator(".summary")).to_be_focused()
    say(sent.pk, "Is the stop right?", FACTORY)
    page.goto(reverse("factory-order", args=[sent.pk]))
    expect(page.locator(".notice.stop")).to_be_visible()
    expect(date).not_to_be_focused()
