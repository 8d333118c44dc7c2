"""A page that is opened to type one thing begins in its box, without a Tab."""

from django.urls import reverse
from playwright.sync_api import expect

from ordering.events import cannot_make, say
from tests.browser.days import open_shop
from tests.ordering.placed import FACTORY, sent_order


def test_a_message_is_pasted_at_once(page):
    """The clipboard holds it already."""
    page.goto("/requests/pasted/")
    expect(page.locator("#text")).to_be_focused()


def test_what_cannot_be_made_leads_to_its_cancelling(page):
    """From "When?", too: the cursor stands on what opens the form, one Enter and one Tab from the line."""
    open_shop()
    order, sent = sent_order()
    cannot_make(sent.pk, [order.lines.get().pk], "The die is broken.", FACTORY)
    for address in (f"/when/?q={order.number}", reverse("order", args=[order.pk])):
        page.goto(address)
        page.get_by_role("link", name="cancel it").press("Enter")
        expect(page.locator("#cancel-what")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator("#cancel-1")).to_be_focused()
    expect(page.locator("#cancel-1")).to_be_checked()


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
