"""One call from the counter to acceptance: six openings, two specials, three mails, two links, one order."""

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest
from playwright.sync_api import expect

from quotes.models import Acceptance, MarginRule, QuoteLine, Special
from sizing.models import Factory
from tests.browser.letters import link_in, work

FACTORY, CUSTOMER = "orders@otterhollow.example", "nell@ashdown.example"
# label, finish, upper glass, lower glass, opening, long point: as the caller says them.
OPENINGS = (
    ("kitchen", "slate", "20 1/4", "20 1/4", "47 7/8", "48 5/8"),
    ("pantry", "ash", "23 3/4", "23 3/4", "54 7/8", ""),
    ("stairs, cottage", "slate", "16", "24", "47 3/8", ""),
    ("mill, very tall", "slate", "52", "52", "111 1/2", ""),
    ("visible glass", "chalk", "19 1/4", "19 1/4", "47 7/8", "48 5/8"),
    ("attic", "slate", "", "25 1/2", "58 3/8", ""),
)


@pytest.fixture
def shop(tables):
    Factory.objects.update(email=FACTORY, contact="Jo Marsh")
    MarginRule.objects.create(currency="USD", in_force_from=date(2020, 1, 1), percent=Decimal("40"))


def take_the_call(page):
    """Six openings typed at the counter."""
    page.goto("/counter/")
    page.fill("#caller", "Nell Ashdown")
    page.fill("#email", CUSTOMER)
    for at, (label, finish, upper, lower, opening, long_point) in enumerate(OPENINGS):
        if at:
            page.get_by_role("button", name="Add an opening").click()
        else:
            page.select_option("#o0-family", "otter-liner")
        page.wait_for_selector(f"#o{at}-m-upper_glass")
        for box, text in (
            ("label", label), ("m-upper_glass", upper), ("m-lower_glass", lower),
            ("m-opening", opening), ("m-long_point", long_point), ("m-sash_weight", "9"),
        ):  # fmt: skip
            page.fill(f"#o{at}-{box}", text)
        page.select_option(f"#o{at}-finish", finish)


def answer(browser, link, price):
    """The factory opens its link and answers, in a browser of its own."""
    elsewhere = browser.new_context()
    page = elsewhere.new_page()
    page.goto(link)
    page.get_by_label("Yes").check()
    page.get_by_label("Your price for one").fill(price)
    page.get_by_label("Working weeks, at least").fill("4")
    page.get_by_label("at most").fill("6")
    page.get_by_label("This holds until").fill((date.today() + timedelta(days=45)).isoformat())
    page.get_by_label("Your name").fill("Jo Marsh")
    page.get_by_role("button", name="Send the answer").click()
    expect(page.get_by_role("heading", name="Thank you, this is your answer")).to_be_visible()
    elsewhere.close()


def test_from_the_call_to_acceptance(page, browser, shop, letterbox):
    """Six openings are taken, the factory prices two, the quote is issued, mailed, ticked and accepted."""
    take_the_call(page)
    expect(page.locator("#o4-worked")).to_contain_text("visible glass")
    page.get_by_role("button", name="Save and quote").click()
    expect(page.get_by_role("heading", name="Draft")).to_be_visible()
    quote = page.url
    kinds = list(QuoteLine.objects.order_by("position").values_list("kind", flat=True))
    assert kinds.count("special") == 2 and kinds.count("part") == 4

    page.goto("/specials/")
    for _ in range(2):
        page.locator("a[href^='/specials/opening/']").first.click()
        page.get_by_role("button", name=re.compile("Ask .* now")).click()
        page.goto("/specials/")
    work()
    asked = letterbox.to(FACTORY)
    assert len(asked) == 2
    for letter, price in zip(asked, ("120.00", "310.00"), strict=True):
        answer(browser, link_in(letter, "for-the-factory"), price)
    for special in Special.objects.all():
        page.goto(f"/specials/{special.pk}/")
        page.get_by_role("button", name="Price it and put it into the quote").click()
        expect(page.get_by_text("in the quote").first).to_be_visible()
    prices = QuoteLine.objects.filter(kind="special").values_list("unit_price", flat=True)
    assert sorted(prices) == [Decimal("168.00"), Decimal("434.00")]

    page.goto(quote)
    page.get_by_label("Picked up at the counter").check()
    page.get_by_role("button", name="Issue", exact=True).click()
    page.get_by_role("button", name="Send it with PDF and workbook").click()
    work()
    sent = next(letter for letter in letterbox.to(CUSTOMER) if list(letter.iter_attachments()))
    assert [part.get_filename().split(".")[-1] for part in sent.iter_attachments()] == [
        "pdf",
        "xlsx",
    ]

    home = browser.new_context()
    customer = home.new_page()
    customer.goto(link_in(sent, "your-quote"))
    boxes = customer.locator("input[type=checkbox][name^=tick-]:not([name=tick-all])")
    assert boxes.count() == len(OPENINGS)
    for at in range(len(OPENINGS)):
        boxes.nth(at).check()
    customer.locator("#id_name").fill("Nell Ashdown")
    customer.get_by_role("button", name="Accept this quote").click()
    expect(customer.get_by_role("status").get_by_text("Accepted").first).to_be_visible()
    home.close()
    accepted = Acceptance.objects.get()
    assert accepted.name == "Nell Ashdown" and len(accepted.ticked) == len(OPENINGS)
