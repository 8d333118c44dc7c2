"""Answers come while one types, and never get in the way of typing."""

from playwright.sync_api import expect

from quotes.models import Request
from tests.browser.pages import come


def begin(page, family: str = "otter-liner") -> None:
    page.goto("/counter/")
    page.select_option("#o0-family", family)
    page.wait_for_selector("#o0-m-upper_glass" if family == "otter-liner" else "#o0-m-channel")


def test_box_being_typed_in_is_left_alone(page):
    """Through every answer the same box keeps the focus, its text and the place in it."""
    begin(page)
    page.focus("#o0-m-upper_glass")
    page.evaluate("window.box = document.activeElement")
    page.keyboard.type("20 1/4", delay=300)
    expect(page.locator("#o0-worked .outcome")).to_contain_text("Ask the caller")
    assert page.evaluate("window.box === document.activeElement && window.box.value") == "20 1/4"
    assert page.evaluate("window.box.selectionStart") == 6


def test_newest_answer_wins(page):
    """A slow answer to an earlier text never replaces the one to the latest text."""
    begin(page)
    slow = []

    def hold_first(route):
        slow.append(route)
        if len(slow) > 1:
            route.continue_()

    page.route("**/counter/answer/**", hold_first)
    page.fill("#o0-m-upper_glass", "22")
    come(page, slow)
    page.fill("#o0-m-upper_glass", "20 1/4")
    expect(page.locator("#o0-drawing-about")).to_contain_text("Upper glass height: 20 1/4")
    slow[0].abort()
    page.wait_for_timeout(300)
    expect(page.locator("#o0-drawing-about")).to_contain_text("Upper glass height: 20 1/4")


def test_doubtful_measure_is_marked_in_the_drawing(page):
    """A visible-glass slip is dashed and named in the drawing and explained beside it."""
    begin(page)
    page.fill("#o0-m-upper_glass", "19 1/4")
    page.fill("#o0-m-lower_glass", "19 1/4")
    page.fill("#o0-m-opening", "47 7/8")
    expect(page.locator("#o0-worked .verdict.slip").first).to_contain_text("visible glass")
    expect(page.locator("#o0-worked svg.drawing .mark")).to_have_count(2)


def test_wrong_text_is_told_beside_its_box_and_goes_away(page):
    """A text that can be read two ways is told at its box, and no longer once it is mended."""
    begin(page, "heron-balance")
    page.fill("#o0-m-channel", "5 26")
    expect(page.locator("#o0-m-channel_error")).to_contain_text("5 26")
    expect(page.locator("#o0-m-channel")).to_have_attribute("aria-invalid", "true")
    page.fill("#o0-m-channel", "517")
    expect(page.locator("#o0-m-channel_error")).to_be_empty()
    expect(page.locator("#o0-m-channel")).not_to_have_attribute("aria-invalid", "true")


def test_saves_by_itself(page):
    """A pause in typing saves; the page goes on as that request and nothing is doubled."""
    begin(page)
    page.fill("#caller", "Ann Lowe")
    page.fill("#o0-m-upper_glass", "20 1/4")
    expect(page.locator("#saved")).to_contain_text("Saved")
    page.wait_for_url("**/requests/*/")
    page.fill("#o0-m-opening", "47 7/8")
    page.keyboard.press("Control+s")
    expect(page.locator(".messages")).to_contain_text("is saved")
    request = Request.objects.get()
    assert request.openings.get().said == {"upper_glass": "20 1/4", "opening": "47 7/8"}


def test_no_line_to_the_desk(page):
    """When no answer comes the page says so and keeps every word."""
    begin(page)
    page.route("**/counter/**", lambda route: route.abort())
    page.fill("#o0-m-upper_glass", "20 1/4")
    expect(page.locator("#saved")).to_contain_text("still here")
    assert page.input_value("#o0-m-upper_glass") == "20 1/4"


def test_a_press_below_a_long_hint_is_not_missed(page):
    """The hint of the box that is left shuts only after the press: what was pressed stays under the pointer."""
    begin(page)
    page.focus("#o0-m-upper_glass")
    place = page.locator("[name=o0-cannot-lower_glass]").bounding_box()
    page.mouse.move(place["x"] + 8, place["y"] + 8)
    page.mouse.down()
    page.wait_for_timeout(80)
    page.mouse.up()
    expect(page.locator("[name=o0-cannot-lower_glass]")).to_be_checked()
    # It does shut, so that the boxes stay close together.
    expect(page.locator("#o0-m-upper_glass_hint")).to_have_css("white-space", "nowrap")


def test_a_press_below_its_own_hint_is_not_missed(page):
    """A button under the hint of its box does not open it: it stays under the pointer until it is let go."""
    begin(page)
    page.get_by_role("button", name="Add an opening").click()
    expect(page.locator(".opening")).to_have_count(2)
    page.fill("#o0-m-sash_weight", "11 lb")
    page.focus("#o1-m-opening")
    expect(page.locator("#o0-m-sash_weight_hint")).to_have_css("white-space", "nowrap")
    page.locator("#o0 .below").scroll_into_view_if_needed()
    place = page.locator("#o0 .below").bounding_box()
    page.mouse.move(place["x"] + 8, place["y"] + 8)
    page.mouse.down()
    page.wait_for_timeout(80)
    page.mouse.up()
    expect(page.locator("#o1-m-sash_weight")).to_have_value("11 lb")


def test_one_weight_for_all_below(page):
    """A weight typed once goes into every opening below that has none; a weight of its own stays."""
    begin(page)
    assert not page.locator(".below").first.is_visible()
    for many in (2, 3, 4):
        page.get_by_role("button", name="Add an opening").click()
        expect(page.locator(".opening")).to_have_count(many)
    page.select_option("#o3-family", "heron-balance")
    page.wait_for_selector("#o3-m-channel")
    page.fill("#o0-m-sash_weight", "11 lb")
    page.fill("#o2-m-sash_weight", "9")
    page.locator("#o1 .below").scroll_into_view_if_needed()
    page.locator("#o0 .below").click()
    expect(page.locator("#o1-m-sash_weight")).to_have_value("11 lb")
    assert page.input_value("#o2-m-sash_weight") == "9"
    # Kilograms are another scale: a bare number would be read as so many of them.
    assert page.input_value("#o3-m-sash_weight") == ""
    expect(page.locator("#o1-worked")).to_contain_text("11 lb")
    expect(page.locator("#saved")).to_contain_text("Saved")
    assert Request.objects.get().openings.get(position=1).said["sash_weight"] == "11 lb"
