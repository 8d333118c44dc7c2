"""On "?" every page tells the keys it has, no more and no fewer, and each does what is said of it."""

import re

from django.urls import reverse
from playwright.sync_api import expect

from quotes.desk.special_prices import price
from quotes.models import Special
from tests.browser.days import open_shop
from tests.ordering.placed import placed_order
from tests.quotes import shop
from tests.quotes.specials import take_answer, usual_answer

PAGES = (
    "/", "/counter/", "/requests/", "/requests/pasted/", "/quotes/", "/customers/", "/customers/new/",
    "/specials/", "/schedules/", "/orders/", "/when/", "/watch/", "/record/", "/tables/",
)  # fmt: skip


def shown_keys(page) -> dict[str, str]:
    rows = page.locator("#access-keys div").all()
    return {row.locator("kbd").inner_text(): row.locator("dd").inner_text() for row in rows}


def leave_the_box(page) -> None:
    """Nobody types: a page that begins in a box has done so once it has been drawn."""
    page.evaluate("new Promise(drawn => requestAnimationFrame(() => requestAnimationFrame(drawn)))")
    page.evaluate("document.activeElement.blur()")


def test_told(page):
    """Every access key of each page is told with the words of what it is on, and no key is on two things."""
    for address in PAGES:
        page.goto(address)
        leave_the_box(page)
        page.keyboard.press("?")
        expect(page.locator("#keys"), address).to_be_visible()
        there = page.evaluate(
            "[...document.querySelectorAll('[accesskey]')].filter(e => e.offsetParent)"
            ".map(e => e.accessKey.toUpperCase())"
        )
        told = shown_keys(page)
        assert sorted(told) == sorted(there), address
        assert all(told.values()), address
        page.keyboard.press("Escape")
        expect(page.locator("#keys"), address).to_be_hidden()


def test_way_on(page):
    """Ctrl Shift Enter is told as what it does, and does it: from the request to its draft quote."""
    request = shop.take_request(shop.part_opening())
    page.goto(f"/requests/{request.pk}/")
    leave_the_box(page)
    page.keyboard.press("?")
    expect(page.locator("#onward-key")).to_contain_text("Save and quote")
    page.keyboard.press("Escape")
    page.keyboard.press("Control+Shift+Enter")
    expect(page.get_by_role("heading", name="Draft", exact=True)).to_be_visible()
    page.wait_for_load_state()
    page.keyboard.press("?")
    expect(page.locator("#onward-key")).to_contain_text("Issue and mail to mara@quill.example")


def test_no_way_on_is_told_where_there_is_none(page):
    """A page without a next step tells none."""
    page.goto("/quotes/")
    leave_the_box(page)
    page.keyboard.press("?")
    expect(page.locator("#onward-key")).to_be_hidden()


def test_way_on_from_a_special_to_its_factory(page):
    """What is not standard goes to its factory by the same key."""
    open_shop()
    request = shop.take_request(shop.cottage_opening())
    page.goto(reverse("special-flag", args=[request.openings.get().pk]))
    page.keyboard.press("Control+Shift+Enter")
    expect(page.locator(".messages")).to_contain_text("Otter Hollow Millwork")
    assert Special.objects.get().state == Special.State.ASKED


def test_way_on_of_a_special_in_a_quote(page):
    """From a draft whose special has no price to its factory; once it is priced, from the special to its quote, and
    on to the customer. What is typed into the draft is saved by the key, not left behind."""
    open_shop()
    issue = shop.draft_quote(shop.cottage_opening())
    page.goto(reverse("quote", args=[issue.quote_id]))
    leave_the_box(page)
    page.keyboard.press("?")
    expect(page.locator("#onward-key")).to_contain_text("Ask the factory for its price of line 1")
    page.keyboard.press("Escape")
    page.keyboard.press("Control+Shift+Enter")
    expect(page).to_have_url(re.compile("/specials/opening/"))
    page.wait_for_load_state()
    page.keyboard.press("Control+Shift+Enter")
    expect(page.locator(".messages")).to_contain_text("Otter Hollow Millwork")
    special = Special.objects.get()
    take_answer(special.enquiry.pk, usual_answer())
    price(special.pk, None, by="mira", is_manager=True)
    page.goto(reverse("special", args=[special.pk]))
    page.keyboard.press("Control+Shift+Enter")
    expect(page).to_have_url(re.compile(f"/quotes/{issue.quote_id}/"))
    page.wait_for_load_state()
    page.keyboard.press("?")
    expect(page.locator("#onward-key")).to_contain_text("Issue and mail to mara@quill.example")


def test_way_on_of_a_draft_typed_in_is_its_own(page):
    """A price typed by hand beside a special goes with the draft: the key presses the form's own step."""
    issue = shop.draft_quote(shop.cottage_opening())
    page.goto(reverse("quote", args=[issue.quote_id]))
    page.locator("input[name$=unit_price]").first.focus()
    page.keyboard.type("180")
    page.keyboard.press("Control+Shift+Enter")
    expect(page.locator(".messages")).to_contain_text("mara@quill.example")
    assert issue.lines.get().unit_price == 180


def test_way_on_from_an_order_to_its_factory(page):
    """Twice: to the lines that wait, and off to the factory with this order's."""
    open_shop()
    order = placed_order()
    page.goto(reverse("order", args=[order.pk]))
    page.keyboard.press("Control+Shift+Enter")
    expect(page).to_have_url(re.compile(r"/orders/send/\?order="))
    page.wait_for_load_state()
    page.keyboard.press("Control+Shift+Enter")
    expect(page.locator(".messages")).to_contain_text("Sent: F-0")


def test_way_on_is_the_step_of_the_form_typed_in(page):
    """Typed into "Accept on the customer's word", the key accepts; it mails nothing and loses nothing."""
    issue = shop.issued_quote(email="mara@quill.example")
    page.goto(f"/quotes/{issue.quote_id}/")
    page.locator("#id_their_number").focus()
    page.keyboard.type("PO 4711")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    # From its button, too, and from a link beside it: what was typed last counts.
    page.locator("main a").first.focus()
    page.keyboard.press("?")
    expect(page.locator("#onward-key")).to_contain_text("Accept for them")
    page.keyboard.press("Escape")
    page.keyboard.press("Control+Shift+Enter")
    expect(page.locator(".messages")).to_contain_text("is accepted for Mara Quill.")
    issue.refresh_from_db()
    assert issue.quote.acceptance.their_number == "PO 4711"
    assert not issue.letters.exists()
