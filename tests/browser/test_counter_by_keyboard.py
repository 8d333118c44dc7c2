"""A call from sign-in to a saved request without a mouse."""

from playwright.sync_api import expect

from quotes.models import Request
from tests.browser.conftest import PASSWORD
from tests.quotes.conftest import clerk_named


def focused(page) -> str:
    return page.evaluate("document.activeElement.id")


def tab_to(page, name: str) -> None:
    for _ in range(25):
        page.keyboard.press("Tab")
        if focused(page) == name:
            return
    raise AssertionError(f"the Tab key never reaches {name}")


def test_whole_call_by_keyboard(browser, live_server, tables):
    """Sign in, take two openings of two families, read the answers, save: keys only."""
    clerk_named("mira", password=PASSWORD)
    context = browser.new_context(base_url=live_server.url)
    page = context.new_page()

    def press(key: str) -> None:
        page.keyboard.press(key)

    def write(words: str) -> None:
        page.keyboard.type(words)

    page.goto("/counter/")
    tab_to(page, "id_username")
    write("mira")
    press("Tab")
    write(PASSWORD)
    press("Enter")
    expect(page.locator("#caller")).to_be_focused()
    write("Ines Calloway")
    press("Enter")
    write("802 555 0117")
    tab_to(page, "o0-label")
    write("kitchen left")
    press("Enter")
    assert focused(page) == "o0-family"
    write("Otter")
    page.wait_for_selector("#o0-m-upper_glass")
    expect(page.locator("#o0-family")).to_be_focused()
    press("Enter")
    assert focused(page) == "o0-finish"
    write("slate")
    tab_to(page, "o0-m-upper_glass")
    for text in ("20 1/4", "20 1/4", "3' 11 7/8\"", "", "12 lb"):
        write(text)
        press("Enter")
    expect(page.locator("#o0-worked .part.number")).to_have_text("OHL-05MS")

    press("Control+Enter")
    expect(page.locator("#o1-label")).to_be_focused()
    tab_to(page, "o1-m-upper_glass")
    write("15 1/2")
    press("Enter")
    write("23 3/4")
    expect(page.locator("#o1-worked .outcome")).to_contain_text("Special quote")
    press("Alt+ArrowUp")
    assert focused(page) == "o0-m-upper_glass"
    press("Control+s")
    page.wait_for_url("**/requests/*/")
    expect(page.locator(".messages")).to_contain_text("is saved")
    request = Request.objects.get()
    assert (request.caller, request.phone) == ("Ines Calloway", "802 555 0117")
    assert [o.answer["outcome"] for o in request.openings.all()] == ["part", "special"]
    context.close()


def test_enter_passes_an_empty_note(page):
    """Enter leads from the caller past a note that is empty; in one that is begun it is a new line."""
    page.goto("/counter/")
    while focused(page) != "note":
        before = focused(page)
        page.keyboard.press("Enter")
        assert focused(page) != before
    page.keyboard.press("Enter")
    assert focused(page) == "o0-label"
    page.focus("#note")
    page.keyboard.type("calls")
    page.keyboard.press("Enter")
    page.keyboard.type("again")
    assert page.input_value("#note") == "calls\nagain"


def test_question_mark_shows_the_keys(page):
    """In a measure's box "?" shows the keys, Escape goes back to the box; in a note it is a letter."""
    page.goto("/counter/")
    page.focus("#o0-m-length")
    page.keyboard.press("?")
    expect(page.locator("#keys")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator("#keys")).to_be_hidden()
    assert focused(page) == "o0-m-length"
    page.focus("#note")
    page.keyboard.press("?")
    expect(page.locator("#keys")).to_be_hidden()
    assert page.input_value("#note") == "?"


def test_question_mark_can_be_turned_off(page):
    """Who speaks to the machine can turn the single key off, and it stays off."""
    page.goto("/counter/")
    page.get_by_role("button", name="Keys").click()
    page.locator("#single-key").uncheck()
    page.keyboard.press("Escape")
    page.reload()
    page.focus("#o0-m-length")
    page.keyboard.press("?")
    expect(page.locator("#keys")).to_be_hidden()


def test_summary_takes_the_focus(page):
    """After a save that failed the focus is on what needs mending, and its link leads to the box."""
    page.goto("/counter/")
    page.fill("#email", "ann at home")
    page.keyboard.press("Control+s")
    expect(page.locator("#summary")).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator("#email")).to_be_focused()


def test_focus_is_never_hidden(page):
    """With the Tab key through a long request, no box lies behind the bar at the foot of the page."""
    page.set_viewport_size({"width": 1024, "height": 600})
    page.goto("/counter/")
    for label in ("#o1-label", "#o2-label"):
        page.keyboard.press("Control+Enter")
        expect(page.locator(label)).to_be_focused()
    page.focus("#caller")
    hidden = []
    for _ in range(45):
        page.keyboard.press("Tab")
        hidden += page.evaluate(
            """() => {
                const box = document.activeElement;
                const bar = document.querySelector(".bar").getBoundingClientRect();
                const top = box.getBoundingClientRect().top;
                const covered = top >= bar.top && top < bar.bottom && !box.closest(".bar");
                return covered ? [box.id || box.name] : [];
            }"""
        )
    assert hidden == []


def test_what_is_refused_leads_to_its_box(page, tables):
    """Save and quote with a question open: the cursor stands where the answer goes, the reason is in sight."""
    page.goto("/counter/")
    page.select_option("#o0-family", "otter-liner")
    page.fill("#o0-label", "Barn")
    page.fill("#o0-m-long_point", "48 5/8")
    page.keyboard.press("Control+Shift+Enter")
    refused = page.get_by_text("Answer first what is asked: Opening 1, Barn.")
    expect(refused).to_be_in_viewport()
    expect(page.locator("#o0-m-upper_glass")).to_be_focused()
