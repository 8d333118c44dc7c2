"""A page that gives typed text back when something failed calls each box what its own page called it."""

from playwright.sync_api import expect

from quotes.models import Customer
from tests.access.signing_in import known
from tests.browser.conftest import PASSWORD
from tests.browser.test_busy_while_typing import busy


def given_back(page):
    rows = page.locator("[data-typed]:visible")
    return {row.locator("dt").inner_text(): row.locator("dd").inner_text() for row in rows.all()}


def test_by_the_labels_of_the_counter(page, monkeypatch):
    """Two windows have two upper glasses: each says whose it is; a choice is told in its own words."""
    page.goto("/counter/")
    page.fill("#caller", "Mara Quill")
    page.select_option("#o0-family", "otter-liner")
    page.wait_for_selector("#o0-m-upper_glass")
    page.fill("#o0-m-upper_glass", "20 1/4")
    page.select_option("#o0-finish", "ash")
    page.click("text=Add an opening")
    page.fill("#o1-m-upper_glass", "18 1/2")
    page.check("[name=o1-cannot-opening]")
    expect(page.locator("#saved")).to_contain_text("Saved")
    monkeypatch.setattr("quotes.views.counter.CounterForm.posted", busy)
    page.click("button:has-text('Save') >> nth=0")
    page.wait_for_selector("text=What you typed is still here")
    told = given_back(page)
    assert told["Caller"] == "Mara Quill"
    assert told["Opening 1: Upper glass height"] == "20 1/4"
    assert told["Opening 2: Upper glass height"] == "18 1/2"
    assert told["Opening 1: Family"] == "Otter Hollow jamb liner"
    assert told["Opening 2: can't be measured: Opening height"] == "✓"
    assert not [label for label in told if "key" in label.lower() or "-" in label]
    page.get_by_role("button", name="Send again").click()
    page.wait_for_load_state()
    assert given_back(page) == told
    monkeypatch.undo()
    page.get_by_role("button", name="Send again").click()
    expect(page.locator("#o1-m-upper_glass")).to_have_value("18 1/2")


def test_after_the_sign_in_had_run_out(page):
    """Signing in in between takes nothing away: what was typed stands under its own label, and is sent."""
    customer = Customer.objects.create(name="Mara Quill", kind="homeowner")
    page.goto(f"/customers/{customer.pk}/")
    page.fill("#id_exemption_number", "VT 4711")
    page.context.clear_cookies(name="sessionid")
    page.context.add_cookies([{"name": n, "value": v, "url": page.url} for n, v in known().items()])
    page.click("button:has-text('Save')")
    expect(page.locator("main")).to_contain_text("What you typed is kept")
    page.fill("#id_username", "mira")
    page.fill("#id_password", PASSWORD)
    page.click("button:has-text('Sign in')")
    expect(page.locator("main")).to_contain_text("Your sign-in had run out")
    assert given_back(page)["Tax exemption number"] == "VT 4711"
    page.get_by_role("button", name="Send again").click()
    expect(page.locator("main")).to_contain_text("Mara Quill is saved.")
    customer.refresh_from_db()
    assert customer.exemption_number == "VT 4711"
