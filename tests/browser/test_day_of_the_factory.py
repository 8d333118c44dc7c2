"""The factory's contact, from two letters and without a login: a price and weeks, then an order's dates and shipment."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from ordering.models import FactoryOrder, Order
from quotes.desk.enquiries import ask_about
from quotes.models import Enquiry
from tests.browser.days import FACTORY, open_shop
from tests.browser.letters import link_in, work
from tests.browser.pages import signed_in
from tests.ordering.placed import sent_order
from tests.quotes.shop import cottage_opening, part_opening, take_request


@pytest.fixture
def jo(browser, live_server, tables, letterbox):
    """The browser of Jo Marsh at the factory, signed in nowhere."""
    open_shop()
    with signed_in(browser, live_server.url, None) as page:
        yield page


def test_answers_an_enquiry_with_price_and_weeks(jo, letterbox):
    """The letter's link shows what is asked, drawn; the answer is thanked for and stands there afterwards."""
    ask_about(take_request(cottage_opening()).openings.get().pk, by="oswin")
    work()
    (letter,) = letterbox.to(FACTORY)
    jo.goto(link_in(letter, "for-the-factory"))
    expect(jo.locator("main svg[role=img]").first).to_be_visible()
    jo.get_by_label("Yes").check()
    jo.get_by_label("Your price for one pair").fill("131.40")
    jo.get_by_label("Working weeks, at least").fill("5")
    jo.get_by_label("at most").fill("6")
    jo.get_by_label("This holds until").fill(str(timezone.localdate() + timedelta(days=30)))
    jo.get_by_label("Your name").fill("Jo Marsh")
    jo.get_by_role("button", name="Send the answer").click()
    expect(jo.get_by_role("heading", name="Thank you, this is your answer")).to_be_visible()
    answered = Enquiry.objects.get()
    assert (str(answered.unit_cost), answered.weeks_min, answered.weeks_max) == ("$131.40", 5, 6)


def test_confirms_moves_and_ships_a_part_of_an_order(jo, letterbox):
    """One date for the order, then another with its reason, then two of three pairs on their way."""
    order, _ = sent_order(part_opening(quantity=3))
    work()
    letter = next(letter for letter in letterbox.to(FACTORY) if "F-" in letter["Subject"])
    jo.goto(link_in(letter, "f"))
    today = timezone.localdate()
    jo.get_by_label("Your name").fill("Jo Marsh")
    for days, why in ((35, ""), (63, "No slate.")):
        jo.get_by_label("One date for all lines").fill(str(today + timedelta(days=days)))
        jo.get_by_label("Reason, if a date moves").fill(why)
        jo.get_by_role("button", name="Give the date").click()
        expect(jo.get_by_role("status")).to_contain_text("the date is noted")
    jo.get_by_label("Left now, of 3").fill("2")
    jo.get_by_label("Left on").fill(str(today))
    jo.get_by_role("button", name="Mark as shipped").click()
    expect(jo.get_by_role("status")).to_be_visible()
    expect(jo.get_by_label("Left now, of 1")).to_be_visible()
    line = Order.objects.get().lines.get()
    assert (line.order, line.promised_on) == (order, today + timedelta(days=63))
    assert FactoryOrder.objects.get().lines.count() == 1
