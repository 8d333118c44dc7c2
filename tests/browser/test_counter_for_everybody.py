"""The counter for eyes, ears and small screens: axe, reflow, paper."""

import pytest
from playwright.sync_api import expect

from quotes.desk.requests import save_request
from quotes.said import SaidOpening, SaidRequest
from tests.browser.wcag import wrong

GLASS = {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "47 7/8"}


def opening(**more) -> SaidOpening:
    return SaidOpening("otter-liner", **more)


@pytest.fixture
def request_of_all_kinds(tables):
    """One request with a part, a slip, a question, a special quote, an unreadable text and a choice."""
    weighed = {**GLASS, "sash_weight": "12"}
    slip = {**weighed, "upper_glass": "19 1/4", "lower_glass": "19 1/4"}
    openings = (
        opening(label="part", measures=weighed, finish="ash", quantity=2),
        opening(label="slip", measures=slip, finish="slate"),
        opening(label="question", measures={"upper_glass": "20 1/4"}),
        opening(label="special", measures={"upper_glass": "15 1/2", "lower_glass": "23 3/4"}),
        opening(label="unreadable", measures={"opening": "1/2/3"}),
        opening(label="chosen", measures=weighed, finish="ash", override="OHL-06MA",
                override_reason="the old one says so"),
        SaidOpening("heron-balance", label="metric", measures={"channel": "517"}),
        SaidOpening("otter-liner"),
    )  # fmt: skip
    return save_request(SaidRequest("Ann Lowe", openings=openings), by="mira")


def test_nothing_is_wrong(page, request_of_all_kinds):
    """axe-core finds no violation on the counter, the list, or an error, in light and dark."""
    for address in ("/counter/", f"/requests/{request_of_all_kinds.pk}/", "/requests/"):
        page.goto(address)
        assert wrong(page) == [], address
    page.goto("/counter/")
    page.get_by_role("button", name="Keys").click()
    assert wrong(page) == [], "keys"
    page.keyboard.press("Escape")
    expect(page.locator("#keys")).to_be_hidden()
    page.fill("#email", "nobody")
    page.keyboard.press("Control+s")
    page.wait_for_selector("#summary")
    assert wrong(page) == [], "summary"


def test_nothing_is_wrong_at_the_door(browser, live_server, transactional_db):
    """Nor on the sign-in page, before and after a wrong password."""
    page = browser.new_page(base_url=live_server.url)
    page.goto("/sign-in/")
    assert wrong(page) == []
    page.fill("#id_username", "x")
    page.fill("#id_password", "y")
    page.keyboard.press("Enter")
    page.wait_for_selector(".summary")
    assert wrong(page) == []
    page.close()


def test_paper(page, request_of_all_kinds):
    """On paper the answers and cautions stand without the buttons."""
    page.goto(f"/requests/{request_of_all_kinds.pk}/")
    page.emulate_media(media="print")
    assert page.locator(".part.number").first.is_visible()
    assert page.locator(".cautions summary").first.is_visible()
    assert not page.locator(".bar").is_visible()


def test_a_call_begun_before_is_spoken(page, tables):
    """Who it may be, and what they have begun, comes by typing, into a live region; said once, not at each save."""
    asked = {"upper_glass": "20 1/4"}
    save_request(SaidRequest("Vera Stroud", phone="802 555 0177", openings=(opening(measures=asked),)), by="mira")  # fmt: skip
    page.goto("/counter/")
    spoken = page.locator("#whose-spoken[role=status]")
    expect(spoken).to_be_empty()
    page.evaluate("""
        window.told = [];
        const region = document.getElementById("whose-spoken");
        new MutationObserver(() => window.told.push(region.textContent.trim())).observe(region, { childList: true, subtree: true });
    """)
    page.fill("#phone", "802 555 0177")
    page.fill("#o0-m-upper_glass", "20 1/4")
    expect(spoken).to_contain_text("Begun before, not finished: request")
    for words in ("rings again", "rings again today"):
        with page.expect_response("**/requests/*/"):
            page.fill("#note", words)
    expect(page.locator("#saved")).to_contain_text("Saved")
    assert len(page.evaluate("window.told")) == 1
    page.fill("#phone", "802 555 0199")
    expect(spoken).to_be_empty()
