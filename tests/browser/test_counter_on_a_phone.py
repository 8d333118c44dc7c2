"""The counter in a hand: nothing lies over the box that is typed in, and its answer is in sight."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_counter_while_typing import begin

# What may stand still while the page moves under it.
STANDING = """() => [...document.querySelectorAll("body *")].filter(one =>
    ["sticky", "fixed"].includes(getComputedStyle(one).position) && one.offsetParent !== null)"""
COVERED = f"""() => {{
    const box = document.activeElement.getBoundingClientRect();
    const inside = box.top >= 0 && box.bottom <= innerHeight;
    const over = ({STANDING})().map(one => one.getBoundingClientRect()).filter(it =>
        it.height && it.left < box.right && it.right > box.left && it.top < box.bottom && it.bottom > box.top);
    return !inside || over.length > 0;
}}"""
IN_SIGHT = "it => { const {top, bottom} = it.getBoundingClientRect(); return top >= 0 && bottom <= innerHeight }"
PHONES = [(390, 844), (320, 480)]


@pytest.fixture(params=PHONES, ids="{0[0]}x{0[1]}".format)
def phone(page, request):
    width, height = request.param
    page.set_viewport_size({"width": width, "height": height})
    begin(page)
    return page


def test_answer_is_in_sight_after_each_number(phone):
    """What to ask next and then the part can be read where one types, and cover nothing of it."""
    said = phone.locator("#o0-spoken")
    phone.focus("#o0-m-upper_glass")
    for text, answer in (
        ("20 1/4", "Ask for the opening height"), ("20 1/4", "Ask for the opening height"),
        ("47 7/8", "Ask for the sash weight"), ("", "Ask for the sash weight"), ("12", "Ask which finish"),
    ):  # fmt: skip
        phone.keyboard.type(text)
        expect(said).to_contain_text(answer)
        assert said.evaluate(IN_SIGHT), text
        assert not phone.evaluate(COVERED), text
        phone.keyboard.press("Enter")
    phone.select_option("#o0-finish", "ash")
    expect(said).to_contain_text("OHL-05MA")
    assert said.evaluate(IN_SIGHT)


def test_no_box_is_covered_when_it_takes_the_focus(phone):
    """Forwards and backwards through the page, and wherever it was scrolled to before a box is pressed."""
    phone.fill("#o0-m-upper_glass", "20 1/4")
    expect(phone.locator("#o0-spoken")).to_contain_text("Ask for")
    phone.focus("#caller")
    for key in ["Tab"] * 30 + ["Shift+Tab"] * 30:
        phone.keyboard.press(key)
        assert not phone.evaluate(COVERED), phone.evaluate("document.activeElement.outerHTML")
    for edge in ("start", "end"):
        for code in ("upper_glass", "opening", "sash_weight"):
            phone.evaluate("document.activeElement.blur()")
            box = phone.locator(f"#o0-m-{code}")
            box.evaluate("(it, block) => it.scrollIntoView({block})", edge)
            box.click()
            phone.keyboard.type("1")
            assert not phone.evaluate(COVERED), (code, edge)
            phone.keyboard.press("Backspace")


def test_what_was_not_saved_is_in_sight(phone):
    """The bar is at the end of the page: that nothing is saved is said at the foot of the screen all the same."""
    phone.route("**/counter/**", lambda route: route.abort())
    phone.fill("#o0-m-upper_glass", "20 1/4")
    expect(phone.locator("#saved")).to_contain_text("still here")
    assert phone.locator("#saved").evaluate(IN_SIGHT)
    for _ in range(8):
        phone.keyboard.press("Tab")
        assert not phone.evaluate(COVERED), phone.evaluate("document.activeElement.outerHTML")
