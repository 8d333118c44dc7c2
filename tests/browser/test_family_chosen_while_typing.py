"""A family is chosen and the caller goes on talking: nothing typed meanwhile is lost."""

import pytest
from playwright.sync_api import expect

from quotes.models import Request
from tests.browser.pages import come


@pytest.fixture
def held(page):
    """The counter with another family's sheet on its way; calling it lets the sheet arrive."""
    page.goto("/counter/")
    page.select_option("#o0-family", "otter-liner")
    page.wait_for_selector("#o0-m-upper_glass")
    waiting, arrived = [], []

    def hold(route):
        if arrived:
            route.continue_()
        else:
            waiting.append(route)

    page.route("**/counter/opening/**", hold)
    page.select_option("#o0-family", "heron-balance")
    come(page, waiting)

    def arrive() -> None:
        arrived.append(True)
        waiting.pop().continue_()
        page.wait_for_selector("#o0-m-channel")

    return arrive


def test_label_typed_at_once_stays(page, held):
    """The window's name typed right after choosing a family is still there when its boxes come."""
    page.focus("#o0-label")
    page.keyboard.type("kitchen")
    held()
    assert page.input_value("#o0-label") == "kitchen"
    page.keyboard.type(" left")
    assert page.input_value("#o0-label") == "kitchen left"


def test_place_in_the_text_stays(page, held):
    """Whoever was mending the middle of a word goes on in its middle."""
    page.focus("#o0-label")
    page.keyboard.type("kithen")
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    held()
    page.keyboard.type("c")
    assert page.input_value("#o0-label") == "kitchen"


def test_what_the_new_family_lacks_comes_back_with_the_old_one(page, held):
    """A measure typed late that the new family does not have is kept for the way back."""
    page.fill("#o0-m-upper_glass", "20 1/4")
    held()
    page.select_option("#o0-family", "otter-liner")
    page.wait_for_selector("#o0-m-upper_glass")
    assert page.input_value("#o0-m-upper_glass") == "20 1/4"


def test_ticks_and_count_stay_and_are_saved(page, held):
    """A count and "leave out" set meanwhile are on the new sheet, and what is saved is what was typed."""
    page.fill("#o0-quantity", "3")
    page.fill("#o0-label", "hall")
    held()
    expect(page.locator("#saved")).to_contain_text("Saved")
    opening = Request.objects.get().openings.get()
    assert (opening.family.code, opening.label, opening.quantity) == ("heron-balance", "hall", 3)


def test_second_choice_wins(page):
    """A family chosen by mistake and another one at once: the sheet is the second one's."""
    page.goto("/counter/")
    waiting = []
    page.route("**/counter/opening/**", lambda route: waiting.append(route))
    for at, code in enumerate(("heron-balance", "otter-liner"), start=1):
        page.select_option("#o0-family", code)
        come(page, waiting, at)
    for route in waiting:
        route.continue_()
    page.wait_for_selector("#o0-m-upper_glass")
    page.wait_for_timeout(300)
    assert page.input_value("#o0-family") == "otter-liner"
    assert page.locator("#o0-m-channel").count() == 0


def test_answer_given_up_for_a_newer_one_is_no_failure(page):
    """Typing on while an answer is on its way is never told as a broken line."""
    page.goto("/counter/")
    page.select_option("#o0-family", "otter-liner")
    page.wait_for_selector("#o0-m-upper_glass")
    slow = []
    page.route("**/counter/answer/**", lambda route: slow.append(route))
    for at, text in enumerate(("22", "20 1/4"), start=1):
        page.fill("#o0-m-upper_glass", text)
        come(page, slow, at)
    expect(page.locator("#saved")).not_to_contain_text("No answer")
    slow[1].continue_()
    expect(page.locator("#o0-worked")).to_contain_text("Upper glass")
