"""Staff in the warehouse, on a phone: any scrap finds the order, one sentence is read out, a late one says what to do."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone
from playwright.sync_api import expect

from quotes.desk.people import save_customer
from quotes.models import Address
from tests.browser.days import open_shop, whoever
from tests.browser.pages import signed_in
from tests.ordering.placed import sent_order
from tests.quotes.shop import part_opening

PHONE = {"width": 390, "height": 800}


@pytest.fixture
def order(tables):
    open_shop()
    order, _ = sent_order(part_opening(quantity=3), phone="802 555 0117")
    save_customer(order.customer, addresses=[Address(street="4 Mill Street", town="Wherryport")])
    return order


@pytest.fixture
def phone(browser, live_server, order):
    with signed_in(browser, live_server.url, whoever("staff"), viewport=PHONE) as page:
        yield page


def test_any_scrap_finds_the_sentence(phone, order):
    """A name, some digits of the phone, the town, the part or the mail address each lead to the sentence."""
    for scrap in ("quill", "0117", "Wherryport", "OHL-05LS", "mara@"):
        phone.goto("/")
        phone.get_by_role("searchbox").fill(scrap)
        phone.get_by_role("button", name="Find").click()
        expect(phone.locator("#answer .say").first, scrap).to_contain_text(
            f"{order.number} for Mara Quill should leave"
        )
        assert phone.evaluate("document.documentElement.scrollWidth") <= 390, scrap


def test_a_late_one_says_what_to_do(browser, live_server, order):
    """Months on, an order that has not left is said to be later than told, with what to do about it."""
    later = timezone.now() + timedelta(days=150)
    with (
        time_machine.travel(later),
        signed_in(browser, live_server.url, whoever("staff"), viewport=PHONE) as phone,
    ):
        phone.goto("/")
        expect(phone.get_by_role("region", name=re.compile("Late risks"))).to_contain_text(
            "Mara Quill"
        )
        phone.goto("/when/?q=quill")
        late = phone.locator(".notice.stop")
        expect(late).to_contain_text("Later than we told them")
        expect(late).to_contain_text("Say so first, then the date")
        late.get_by_role("link", name=re.compile("watch list")).click()
        expect(phone.get_by_role("heading", level=1)).to_have_text("Watch list")
        expect(phone.locator("main")).to_contain_text("Mara Quill")


def test_nothing_is_offered_that_staff_may_not_do(phone):
    """Neither the counter nor prices stand in their menu, and both refuse them by their address."""
    phone.goto("/")
    for name in ("Counter", "Prices", "Quotes"):
        expect(phone.get_by_role("link", name=name, exact=True)).to_have_count(0)
    for address in ("/counter/", "/prices/", "/quotes/"):
        assert phone.goto(address).status == 403
