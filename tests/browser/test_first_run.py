"""A fresh install by keyboard alone, from the first page to a clerk who takes the first call."""

import re

from playwright.sync_api import Page, expect

from quotes.models import Request
from tests.browser.letters import link_in, work

PASSWORD = "slate and chalk 88"


def typed(page: Page, **boxes: str) -> None:
    """Type into boxes with the Tab key between them, beginning in the first."""
    for name, text in boxes.items():
        reach(page, f"id_{name}")
        page.keyboard.type(text)


def reach(page: Page, name: str) -> None:
    """Press Tab until the box has the focus."""
    for _ in range(40):
        if page.evaluate("document.activeElement.id") == name:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the Tab key never reaches {name}")


def press(page: Page, words: str) -> None:
    """Reach a button or a link by Tab and press Enter on it."""
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent").strip() == words:
            page.keyboard.press("Enter")
            return
    raise AssertionError(f"the Tab key never reaches “{words}”")


def test_from_nothing_to_the_first_call(browser, live_server, transactional_db, letterbox):
    """Any page leads to the set-up; the owner loads the demo and invites a clerk; the clerk takes a call."""
    owner = browser.new_context(base_url=live_server.url).new_page()
    owner.goto("/orders/")
    expect(owner).to_have_url(re.compile("/set-up/$"))
    typed(owner, name="Wherry Lane Sash", region="ZZ")
    press(owner, "Set up and sign in")
    expect(owner.locator("#summary")).to_be_focused()
    expect(owner.locator("#summary")).to_contain_text("no part of US")
    assert owner.input_value("#id_name") == "Wherry Lane Sash"
    owner.fill("#id_region", "VT")
    typed(
        owner,
        person="Ida Fenn",
        own_email="ida@wherry.example",
        username="ida",
        password=PASSWORD,
        again=PASSWORD,
    )
    owner.keyboard.press("Enter")
    expect(owner).to_have_url(re.compile("/set-up/begin/$"))
    press(owner, "Load the demo scenario")
    expect(owner.locator(".messages")).to_contain_text(
        "The demo scenario is loaded", timeout=60_000
    )
    expect(owner.locator(".strip .shop")).to_have_text("Wherry Lane Sash")
    expect(owner.locator("h2", has_text="Calls to finish")).to_be_visible()
    expect(owner.get_by_role("link", name="Take a call")).to_be_focused()

    owner.goto("/shop/people/")
    typed(owner, name="Bram Oakley", email="bram@wherry.example")
    owner.keyboard.press("Enter")
    expect(owner.locator(".messages")).to_contain_text("Bram Oakley is invited")
    work()
    (letter,) = letterbox.to("bram@wherry.example")
    link = link_in(letter, "join")

    clerk = browser.new_context(base_url=live_server.url).new_page()
    clerk.goto(link)
    assert clerk.input_value("#id_person") == "Bram Oakley"
    typed(clerk, username="bram", password=PASSWORD, again=PASSWORD)
    clerk.keyboard.press("Enter")
    expect(clerk.get_by_role("link", name="Take a call")).to_be_focused()
    expect(clerk.get_by_role("link", name="The shop")).to_have_count(0)
    clerk.keyboard.press("Enter")
    expect(clerk).to_have_url(re.compile("/counter/$"))
    clerk.fill("#caller", "Ines Calloway")
    clerk.keyboard.press("Control+s")
    expect(clerk.locator(".messages")).to_contain_text("is saved")
    assert Request.objects.filter(caller="Ines Calloway", taken_by="bram").count() == 1

    gone = clerk.goto(link)
    assert gone.status == 404
    owner.context.close()
    clerk.context.close()
