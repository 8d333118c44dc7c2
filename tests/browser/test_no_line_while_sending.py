"""Without a connection nothing is sent and nothing is lost: the page stays, says so, and sends when the line is back."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from quotes.links import token_of
from quotes.models import Customer, Request
from tests.browser.days import open_shop
from tests.quotes import shop


def test_a_form_keeps_what_was_typed(page):
    """The button is pressed where a phone has no net: the box is as it was, and one more press saves it."""
    customer = Customer.objects.create(name="Mara Quill", kind="homeowner")
    page.goto(reverse("customer", args=[customer.pk]))
    page.fill("#id_exemption_number", "VT 4711")
    page.context.set_offline(True)
    page.press("#id_exemption_number", "Enter")
    expect(page.get_by_role("alert")).to_contain_text("nothing was sent")
    assert page.input_value("#id_exemption_number") == "VT 4711"
    page.context.set_offline(False)
    page.press("#id_exemption_number", "Enter")
    expect(page.locator(".messages")).to_be_visible()
    customer.refresh_from_db()
    assert customer.exemption_number == "VT 4711"


def test_the_counter_keeps_a_call_that_is_saved_by_hand(page, tables):
    """The words beside the buttons say "press Save to try again": who does loses nothing of the call."""
    page.goto("/counter/")
    page.fill("#caller", "Mara Quill")
    page.context.set_offline(True)
    page.fill("#o0-label", "pantry")
    expect(page.locator("#saved")).to_contain_text("no answer from the desk")
    page.keyboard.press("Control+s")
    expect(page.get_by_role("alert")).to_contain_text("nothing was sent")
    assert page.input_value("#o0-label") == "pantry"
    page.context.set_offline(False)
    page.keyboard.press("Control+s")
    expect(page.locator(".messages")).to_contain_text("is saved")
    assert Request.objects.get().openings.get().label == "pantry"


def test_a_desk_that_went_away_is_no_line_either(page, tables):
    """The network is there and the desk is not, as the page noticed while it saved by itself."""
    page.goto("/counter/")
    page.route("**/counter/**", lambda route: route.abort())
    page.route("**/desk*.svg", lambda route: route.abort())
    page.fill("#caller", "Mara Quill")
    expect(page.locator("#saved")).to_contain_text("no answer from the desk")
    page.keyboard.press("Control+s")
    expect(page.get_by_role("alert")).to_contain_text("nothing was sent")
    assert page.input_value("#caller") == "Mara Quill"


def test_a_desk_on_the_same_machine_needs_no_line(page):
    """A browser that says it is offline sends all the same where the desk answers."""
    page.add_init_script(
        "Object.defineProperty(Navigator.prototype, 'onLine', { get: () => false })"
    )
    customer = Customer.objects.create(name="Mara Quill", kind="homeowner")
    page.goto(reverse("customer", args=[customer.pk]))
    page.fill("#id_exemption_number", "VT 4711")
    page.press("#id_exemption_number", "Enter")
    expect(page.locator(".messages")).to_be_visible()
    customer.refresh_from_db()
    assert customer.exemption_number == "VT 4711"


@pytest.mark.parametrize(("language", "words"), [("en", "nothing was sent"), ("es", "no se envió")])
def test_a_customer_is_told_in_their_language(page, language, words):
    """Who accepts on a phone without a net still has their name and ticks, and reads why nothing happened."""
    open_shop()
    issue = shop.issued_quote(language=language)
    page.goto(reverse("quote-public", args=[token_of(issue.link.nonce)]))
    page.fill("[name=name]", "Mara Quill")
    for tick in page.locator(".tick input").all():
        tick.check()
    page.context.set_offline(True)
    page.locator("button.primary").first.click()
    expect(page.get_by_role("alert")).to_contain_text(words)
    assert page.input_value("[name=name]") == "Mara Quill"
