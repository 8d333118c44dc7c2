"""The public measuring page on a phone, with and without JavaScript: check, mend, send."""

import pytest
from playwright.sync_api import expect

from quotes.models import Request


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_check_mend_and_send(browser, live_server, tables, script):
    """A wrong opening is told kindly with how to measure it; mended and sent it reaches the desk."""
    context = browser.new_context(
        base_url=live_server.url,
        viewport={"width": 390, "height": 800},
        java_script_enabled=script,
    )
    page = context.new_page()
    page.goto("/measure/otter-liner/")
    page.get_by_role("textbox", name="Upper glass height").fill("20 1/4")
    page.get_by_role("textbox", name="Lower glass height").fill("20 1/4")
    page.get_by_role("textbox", name="Opening height").fill("44")
    page.get_by_role("button", name="Check my measures").click()
    check = page.locator("#check")
    expect(check).to_contain_text("Your opening height doesn't agree with the rest")
    expect(check).to_contain_text("Raise the lower sash.")
    page.get_by_role("textbox", name="Opening height").fill("47 7/8")
    page.get_by_role("textbox", name="Sash weight").fill("12 lb")
    page.get_by_label("Finish").select_option("slate")
    page.get_by_role("button", name="Check my measures").click()
    expect(check).to_contain_text("Your measures agree")
    page.get_by_role("button", name="Send my measures").click()
    expect(page.locator("#summary")).to_contain_text("Type your name")
    page.get_by_label("Your name").fill("Ines Calloway")
    page.get_by_label("Phone").fill("802 555 0117")
    page.get_by_role("button", name="Send my measures").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Your measures are with")
    (opening,) = Request.objects.get().openings.all()
    assert opening.answer["outcome"] == "part"
    context.close()
