"""From an issued quote to the placed order while the caller is still on the phone: keys only, counted."""

from playwright.sync_api import expect

from tests.browser.keystrokes import Typist, Way
from tests.quotes import shop


def test_accepted_and_placed_in_a_few_keys(page):
    """The caller's name is typed no second time, and one key leads to its box."""
    issue = shop.issued_quote(email="mara@quill.example")
    way = Way("From the quote to the order")
    typist = Typist(page, way)
    page.goto(f"/quotes/{issue.quote_id}/")
    # A browser without windows has no access keys: Alt and w are counted by hand.
    page.locator("[accesskey=w]").focus()
    access_key = 2
    for _ in range(3):
        page.keyboard.press("Tab")
    expect(page.locator("#id_measures_read_out")).to_be_focused()
    page.keyboard.press("Space")
    typist.commands("Enter", lambda: page.wait_for_selector("text=Place the order"))
    typist.commands("Control+Shift+Enter", lambda: page.wait_for_selector("text=is placed."))
    assert typist.mouse == []
    assert typist.reckon().keys + access_key <= 12
