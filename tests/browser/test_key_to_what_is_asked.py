"""Alt Enter leads to the box that the desk asks for, wherever on the sheet it is."""

import pytest
from playwright.sync_api import expect


@pytest.fixture
def call(page, tables):
    page.goto("/counter/")
    page.select_option("#o0-family", "otter-liner")
    page.wait_for_selector("#o0-m-upper_glass")
    return page


def types(page, box, text):
    page.focus(box)
    page.keyboard.type(text)
    page.keyboard.press("Alt+Enter")


def test_from_question_to_question(call):
    """The glass leads to the opening, that to the weight, that to the finish six boxes up: as fast as one types."""
    types(call, "#o0-m-upper_glass", "20 1/4")
    expect(call.locator("#o0-m-opening")).to_be_focused()
    call.keyboard.type("47 7/8")
    call.keyboard.press("Alt+Enter")
    expect(call.locator("#o0-m-sash_weight")).to_be_focused()
    call.keyboard.type("9")
    call.keyboard.press("Alt+Enter")
    expect(call.locator("#o0-finish")).to_be_focused()
    call.keyboard.type("sl")
    expect(call.locator("#o0-worked .part.number")).to_have_text("OHL-05LS")


def test_to_the_number_that_does_not_fit(call):
    """What is to be measured again comes before what is asked after it, its text marked for the new number."""
    call.fill("#o0-m-upper_glass", "20 1/4")
    call.fill("#o0-m-opening", "47 7/8")
    types(call, "#o0-m-lower_glass", "25 1/2")
    expect(call.locator("#o0-worked .notice")).to_contain_text("Have that measured again")
    call.focus("#o0-m-opening")
    call.keyboard.press("Alt+Enter")
    expect(call.locator("#o0-m-lower_glass")).to_be_focused()
    call.keyboard.type("20 1/4")
    expect(call.locator("#o0-m-lower_glass")).to_have_value("20 1/4")


def test_to_what_cannot_be_read(call):
    types(call, "#o0-m-upper_glass", "2-6")
    expect(call.locator("#o0-worked .outcome")).to_contain_text("Can't be read")
    call.focus("#caller")
    call.keyboard.press("Alt+Enter")
    expect(call.locator("#o0-m-upper_glass")).to_be_focused()


def test_nothing_is_asked_of_one_part(call):
    """The cursor stays where it is, and so does what is typed."""
    for box, text in (("upper_glass", "20 1/4"), ("opening", "47 7/8"), ("sash_weight", "9")):
        call.fill(f"#o0-m-{box}", text)
    call.select_option("#o0-finish", "slate")
    expect(call.locator("#o0-worked .part.number")).to_have_text("OHL-05LS")
    call.focus("#o0-label")
    call.keyboard.press("Alt+Enter")
    expect(call.locator("#o0-label")).to_be_focused()
