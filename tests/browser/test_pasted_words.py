"""A customer's e-mail to a saved request without a mouse; the page for eyes, ears and small screens."""

import re

import pytest
from playwright.sync_api import expect

from quotes.models import Request
from tests.browser.test_counter_by_keyboard import focused, tab_to
from tests.browser.wcag import wrong

MESSAGE = (
    "Hello,\nKitchen: top glass 20 1/4, bottom glass 20 1/4, opening 47 7/8, sash weighs 9 lb, slate.\n"
    "Hall: upper glass 16, lower glass 24, opening 47 3/8 or 47 1/2, two of the liners have cracked\n"
    "<b>Thanks</b>\nMara Quill 802 555 0117 mara@quill.example"
)


@pytest.fixture
def found(page):
    """The page of what was found in the message."""
    page.goto("/requests/pasted/")
    page.select_option("#family", "otter-liner")
    page.fill("#text", MESSAGE)
    page.get_by_role("button", name="Read it").click()
    page.wait_for_selector("#pasted")
    return page


def test_whole_message_by_keyboard(page):
    """Paste, read, put doubtful words into a box, confirm, make the request: keys only."""

    def press(key: str) -> None:
        page.keyboard.press(key)

    def write(words: str) -> None:
        page.keyboard.type(words)

    page.goto("/requests/")
    for _ in range(40):
        press("Tab")
        if page.evaluate("document.activeElement.textContent") == "Read a message":
            break
    press("Enter")
    page.wait_for_selector("#text")
    tab_to(page, "family")
    write("Otter")
    press("Tab")
    assert focused(page) == "text"
    page.keyboard.insert_text(MESSAGE)
    press("Tab")
    press("Enter")
    expect(page.locator("#caller")).to_be_focused()
    assert page.input_value("#caller") == "Mara Quill"
    tab_to(page, "o0-m-opening")
    press("Control+a")
    write("47 3/4")
    expect(page.locator("#o0-answer")).to_contain_text("One part: OHL-05LS")
    press("Enter")
    assert focused(page) == "o0-m-long_point"
    tab_to(page, "o0-right")
    press("Space")
    tab_to(page, "u0")
    write("Opening 2: Op")
    press("Tab")
    press("Tab")
    for _ in range(4):
        if page.evaluate("document.activeElement.value") == "place":
            break
        press("Tab")
    press("Enter")
    expect(page.locator("#o1-m-opening")).to_be_focused()
    press("Control+a")
    write("47 3/8")
    expect(page.locator("#o1-answer")).to_contain_text("Special quote")
    tab_to(page, "o1-right")
    press("Space")
    press("Control+s")
    page.wait_for_url("**/requests/*/")
    expect(page.locator(".messages")).to_contain_text("Not placed in any opening: “two”")
    request = Request.objects.get()
    assert (request.caller, request.note) == ("Mara Quill", MESSAGE)
    said = [o.said for o in request.openings.all()]
    assert (said[0]["opening"], said[1]["opening"]) == ("47 3/4", "47 3/8")


def test_missing_tick_takes_the_focus(found):
    """A request that is not confirmed leads to the first tick that is missing."""
    found.keyboard.press("Control+s")
    expect(found.locator("#summary")).to_be_focused()
    found.keyboard.press("Tab")
    found.keyboard.press("Enter")
    expect(found.locator("#o0-right")).to_be_focused()


def test_signs_lead_both_ways(found):
    """The sign of a box leads to its words in the message, and theirs back to the box."""
    found.locator("#o0-m-opening ~ .from a").focus()
    found.keyboard.press("Enter")
    expect(found).to_have_url(re.compile("#said-1c$"))
    found.locator("#said-1c").focus()
    found.keyboard.press("Enter")
    expect(found.locator("#o0-m-opening")).to_be_focused()


def test_leaving_asks_first(found):
    """Typed boxes are not left behind unawares; sending them asks nothing."""
    asked = []
    found.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    found.fill("#o0-label", "pantry")
    found.goto("/requests/")
    assert asked == ["beforeunload"]


def test_nothing_is_wrong(found):
    """axe-core finds no violation on the box, on what was found, on errors and on the warning."""
    assert wrong(found) == [], "found"
    found.keyboard.press("Control+s")
    found.wait_for_selector("#summary")
    assert wrong(found) == [], "errors"
    found.fill("#o0-label", "pantry")
    found.get_by_text("Change the message and read it again").click()
    found.get_by_role("button", name="Read it again").click()
    found.wait_for_selector("#conflict")
    assert wrong(found) == [], "warning"
    found.goto("/requests/pasted/")
    assert wrong(found) == [], "box"


def test_focus_is_never_hidden(found):
    """With the Tab key through the page, nothing lies behind the bar at its foot."""
    found.set_viewport_size({"width": 1024, "height": 600})
    hidden = []
    for _ in range(40):
        found.keyboard.press("Tab")
        hidden += found.evaluate(
            """() => {
                const box = document.activeElement;
                const bar = document.querySelector(".bar").getBoundingClientRect();
                const top = box.getBoundingClientRect().top;
                const behind = top >= bar.top && top < bar.bottom && !box.closest(".bar");
                const covered = behind || top >= window.innerHeight;
                return covered ? [box.id || box.name || box.outerHTML.slice(0, 120)] : [];
            }"""
        )
    assert hidden == []


def test_without_javascript(browser, clerk, live_server):
    """Without JavaScript the page reads, places and makes the request as well."""
    context = browser.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies(clerk.cookies())
    page = context.new_page()
    page.goto("/requests/pasted/")
    page.select_option("#family", "otter-liner")
    page.fill("#text", MESSAGE)
    page.click("text=Read it")
    page.fill("#o0-m-opening", "47 3/4")
    page.keyboard.press("Enter")
    expect(page.locator("#pasted")).to_contain_text("changed by you; it was read as 47 7/8")
    page.check("#o0-right")
    page.check("#o1-right")
    page.click("text=Make it a request")
    page.wait_for_url("**/requests/*/")
    assert Request.objects.get().openings.first().said["opening"] == "47 3/4"
    context.close()
