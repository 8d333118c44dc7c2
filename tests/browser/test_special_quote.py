"""A special from the list to the quote: mail over SMTP, the factory's link in a browser without sign-in."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from playwright.sync_api import expect

from quotes.desk.requests import save_request
from quotes.models import MarginRule, QuoteLine, Special
from quotes.said import SaidOpening, SaidRequest
from sizing.models import Factory
from tests.browser.letters import link_in, text_of, work

FACTORY, CUSTOMER = "orders@otterhollow.example", "delia@marchbank.example"


@pytest.fixture
def cottage(tables):
    """A request with a cottage split, a factory that can be written to, and a margin rule."""
    Factory.objects.filter(name="Otter Hollow Millwork").update(email=FACTORY, contact="Jo Marsh")
    MarginRule.objects.create(
        currency="USD", in_force_from=date(2020, 1, 1), percent=Decimal("40"), check_over=Decimal("900")
    )  # fmt: skip
    measures = {
        "upper_glass": "15 1/2",
        "lower_glass": "24 1/4",
        "opening": "47",
        "sash_weight": "11",
    }
    opening = SaidOpening(
        family="otter-liner", label="Pantry", measures=measures, finish="slate", quantity=2
    )
    said = SaidRequest(caller="Delia Marchbank", email=CUSTOMER, openings=(opening,))
    return save_request(said, by="mira")


def test_special_goes_to_the_factory_and_comes_back_into_the_quote(
    page, browser, cottage, letterbox
):
    """One press mails the factory; its answer by the link is priced and stands in the quote; all are told."""
    page.goto("/specials/")
    page.get_by_role("button", name="Ask the factory").click()
    expect(page.get_by_role("heading", name="The factory is asked")).to_be_visible()
    work()
    (letter,) = letterbox.to(FACTORY)
    (paper,) = letter.iter_attachments()
    assert paper.get_content().startswith(b"%PDF") and paper.get_filename().endswith(".pdf")
    link = link_in(letter, "for-the-factory")

    elsewhere = browser.new_context()
    factory = elsewhere.new_page()
    factory.goto(link)
    expect(factory.get_by_text("2 pairs of Otter Hollow jamb liner")).to_be_visible()
    factory.get_by_label("Yes").check()
    factory.get_by_label("Your price for one pair").fill("131.40")
    factory.get_by_label("Working weeks, at least").fill("5")
    factory.get_by_label("at most").fill("6")
    factory.get_by_label("Your name").fill("Jo Marsh")
    factory.get_by_role("button", name="Send the answer").click()
    expect(factory.get_by_text("Say until which day this holds.").first).to_be_visible()
    assert factory.get_by_label("Your price for one pair").input_value() == "131.40"
    until = date.today() + timedelta(days=30)
    factory.get_by_label("This holds until").fill(until.isoformat())
    factory.get_by_role("button", name="Send the answer").click()
    expect(factory.get_by_role("heading", name="Thank you, this is your answer")).to_be_visible()

    page.goto("/specials/")
    page.get_by_role("link", name="Opening 1, Pantry").click()
    expect(page.get_by_text("183.96 USD")).to_be_visible()
    page.get_by_role("button", name="Price it and put it into the quote").click()
    expect(page.get_by_text("in the quote").first).to_be_visible()
    line = QuoteLine.objects.get(kind="special")
    assert (line.unit_price, line.quantity) == (Decimal("183.96"), 2)
    assert (line.factory_valid_until, line.lead_words) == (
        until,
        "5 to 6 working weeks, as the factory answered",
    )
    page.goto(f"/quotes/{line.issue.quote_id}/")
    expect(page.get_by_text("367.92").first).to_be_visible()
    work()
    (told,) = letterbox.to(CUSTOMER)
    assert "183.96 USD per pair" in text_of(told)

    factory.goto(link)
    expect(factory.get_by_text("The desk has settled this enquiry")).to_be_visible()
    assert factory.get_by_role("button", name="Send the answer").count() == 0
    elsewhere.close()
    assert [event.what for event in Special.objects.get().events.all()] == [
        "flagged", "factory asked", "factory answered", "priced by the margin rule",
        "put into the quote", "customer told",
    ]  # fmt: skip
