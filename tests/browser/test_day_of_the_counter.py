"""The counter's day: a call with half of the numbers, an unequal window, a message, a schedule, yesterday's call."""

import re

import pytest
from playwright.sync_api import expect

from quotes.models import Request, Special
from tests.browser.days import CUSTOMER, open_shop
from tests.browser.letters import link_in, work
from tests.quotes.sheets import GOOD, HEADINGS, grid
from tests.quotes.shop import opening, take_request

MESSAGE = (
    "Kitchen: top glass 20 1/4, bottom glass 20 1/4, opening 47 7/8, sash weighs 9 lb, slate.\n"
    "Bea Lund 802 555 0139 bea@lund.example"
)


@pytest.fixture
def desk(page, tables, letterbox):
    open_shop()
    page.goto("/")
    return page


def test_a_call_with_half_of_the_numbers_ends_in_a_mailed_quote(desk, letterbox):
    """One number brings the question worth asking, its answer the part, and the quote leaves during the call."""
    desk.get_by_role("link", name="Take a call").click()
    desk.fill("#caller", "Mara Quill")
    desk.fill("#email", CUSTOMER)
    desk.select_option("#o0-family", "otter-liner")
    desk.fill("#o0-m-upper_glass", "20 1/4")
    worked = desk.locator("#o0-worked")
    expect(worked.locator(".outcome")).to_contain_text("Ask")
    expect(worked).to_contain_text("Ask for the opening height")
    desk.fill("#o0-m-opening", "47 7/8")
    expect(worked).to_contain_text("sash weight")
    desk.fill("#o0-m-sash_weight", "9")
    desk.select_option("#o0-finish", "slate")
    expect(worked.locator(".part.number")).to_have_text("OHL-05LS")
    desk.get_by_role("button", name="Save and quote").click()
    desk.get_by_label("Picked up at the counter").check()
    desk.get_by_role("button", name=f"Issue and mail to {CUSTOMER}").click()
    work()
    (letter,) = letterbox.to(CUSTOMER)
    assert link_in(letter, "your-quote")
    assert {part.get_filename().split(".")[-1] for part in letter.iter_attachments()} == {
        "pdf",
        "xlsx",
    }


def test_an_unequal_window_is_said_while_it_is_typed_and_waits_as_a_special(desk):
    """Two glasses that differ are called special at once, whatever the part beside them is, and stand on the list."""
    desk.get_by_role("link", name="Take a call").click()
    desk.fill("#caller", "Delia Marchbank")
    desk.select_option("#o0-family", "otter-liner")
    desk.fill("#o0-label", "pantry")
    desk.fill("#o0-m-upper_glass", "15 1/2")
    desk.fill("#o0-m-lower_glass", "24 1/4")
    expect(desk.locator("#o0-worked .outcome")).to_contain_text("Special quote")
    expect(desk.locator("#o0-worked")).to_contain_text("cottage")
    desk.get_by_role("button", name="Save", exact=True).click()
    expect(desk.locator(".messages")).to_contain_text("is saved")
    desk.get_by_role("link", name="Specials").click()
    desk.get_by_role("link", name="Opening 1, pantry").click()
    desk.get_by_label("Words for the factory").fill("She has the old liner.")
    desk.get_by_role("button", name="Only put it on the list").click()
    expect(desk.get_by_text("She has the old liner.").first).to_be_visible()
    assert Special.objects.get().state == Special.State.FLAGGED


def test_a_message_becomes_a_request(desk):
    """A customer's e-mail, pasted whole, comes back as a caller and a part, and one press keeps it."""
    desk.goto("/requests/")
    desk.get_by_role("link", name="Read a message").click()
    desk.select_option("#family", "otter-liner")
    desk.fill("#text", MESSAGE)
    desk.get_by_role("button", name="Read it").click()
    expect(desk.locator(".desk-says").first).to_contain_text("OHL-05LS")
    assert desk.input_value("#caller") == "Bea Lund"
    desk.get_by_label("looks right").check()
    desk.get_by_role("button", name="Make it a request").click()
    expect(desk).to_have_url(re.compile(r"/requests/\d+/$"))
    assert Request.objects.get().email == "bea@lund.example"


def test_a_schedule_becomes_a_quote(desk, tmp_path):
    """A workbook of windows is answered line by line and goes on into one quote of like lines together."""
    path = tmp_path / "alder court.xlsx"
    path.write_bytes(grid(HEADINGS, GOOD, GOOD, GOOD))
    desk.goto("/schedules/")
    desk.get_by_label("Family of parts").select_option("otter-liner")
    desk.get_by_label("Filled-in workbook").set_input_files(path)
    desk.get_by_role("button", name="Bring it in").click()
    expect(desk.locator("tbody tr").first).to_contain_text("OHL-05LS")
    desk.get_by_role("button", name="Make a request of it").click()
    desk.get_by_role("button", name="Make the quote").click()
    expect(desk.get_by_role("heading", name="Draft")).to_be_visible()
    expect(desk.locator(".draft-lines")).to_contain_text("OHL-05LS")


def test_yesterdays_call_is_finished_from_the_first_page(desk):
    """What was left half said stands on the first page; the missing number is typed in and the part is there."""
    take_request(opening("Hall", upper_glass="20 1/4", opening="47 7/8"), caller="Tam Oak")
    desk.reload()
    waiting = desk.get_by_role("region", name=re.compile("Calls to finish"))
    waiting.get_by_role("link", name="Tam Oak").click()
    expect(desk.locator("#o0-worked .outcome")).to_contain_text("Ask")
    desk.fill("#o0-m-sash_weight", "9")
    expect(desk.locator("#o0-worked .part.number")).to_have_text("OHL-05LS")
    desk.get_by_role("button", name="Save", exact=True).click()
    expect(desk.locator(".messages")).to_contain_text("is saved")
    assert Request.objects.get().openings.get().answer["outcome"] == "part"
