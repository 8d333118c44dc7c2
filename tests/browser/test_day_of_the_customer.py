"""The customer, on a phone: reads the quote from the mail, confirms, accepts, follows, chooses what is mailed."""

from datetime import timedelta

import pytest
from django.utils import timezone
from icalendar import Calendar
from playwright.sync_api import expect

from ordering.events import give_dates, place_from_quote, send_to_factories
from ordering.models import Order
from quotes.desk.posting import send_quote
from quotes.models import Acceptance
from tests.browser.days import CUSTOMER, open_shop
from tests.browser.letters import link_in, work
from tests.browser.pages import signed_in
from tests.ordering.placed import CLERK, FACTORY
from tests.quotes.shop import cottage_opening, issued_quote, part_opening


@pytest.fixture
def home(browser, live_server, tables, letterbox):
    """A phone that is signed in nowhere."""
    open_shop()
    with signed_in(browser, live_server.url, None, viewport={"width": 390, "height": 800}) as page:
        yield page


def accept(home, letterbox) -> None:
    """From the letter: a press too early, then both openings ticked, the name, the quote taken."""
    (letter,) = letterbox.to(CUSTOMER)
    home.goto(link_in(letter, "your-quote"))
    expect(home.locator("main")).to_contain_text("Parts cut to order cannot be returned")
    home.get_by_role("button", name="Accept this quote").click()
    expect(home.get_by_role("alert")).to_contain_text("Nothing you typed is lost")
    boxes = home.get_by_role("checkbox", name="I have checked these measures")
    assert boxes.count() == 2
    for box in boxes.all():
        box.check()
    home.get_by_label("name").fill("Mara Quill")
    home.get_by_role("button", name="Accept this quote").click()
    expect(home.get_by_role("status").first).to_contain_text("Accepted")


def entry(home):
    """The order's entry as the customer's calendar gets it."""
    address = home.get_by_role("link", name="Put it in your calendar").get_attribute("href")
    (event,) = Calendar.from_ical(home.context.request.get(address).body()).walk("VEVENT")[:1]
    return event


def test_from_the_letter_to_fewer_mails(home, letterbox):
    """Accepts by the link; follows the order on its own page and in the calendar; leaves out a kind of mail."""
    issue = issued_quote(part_opening(), cottage_opening(), email=CUSTOMER)
    send_quote(issue.pk, CUSTOMER, "mira")
    work()
    accept(home, letterbox)
    assert Acceptance.objects.get().name == "Mara Quill"

    order = place_from_quote(issue.quote_id, CLERK)
    work()
    placed = letterbox.to(CUSTOMER)[-1]
    assert f"{order.number}" in placed["Subject"]
    home.goto(link_in(placed, "o"))
    expect(home.get_by_role("heading", level=1)).to_have_text(f"Order {order.number}")
    assert home.evaluate("document.documentElement.scrollWidth") <= 390
    before = entry(home)

    (sent,) = send_to_factories([line.pk for line in order.lines.all()], CLERK)
    keys = [line.pk for line in sent.lines.all()]
    first, later = (timezone.localdate() + timedelta(days=days) for days in (35, 80))
    give_dates(sent.pk, dict.fromkeys(keys, first), FACTORY)
    give_dates(sent.pk, dict.fromkeys(keys, later), FACTORY, why="No slate.")
    work()
    moved = [letter for letter in letterbox.to(CUSTOMER) if "moved" in letter["Subject"]]
    assert len(moved) == 1
    home.goto(link_in(moved[0], "o"))
    expect(home.locator("main")).to_contain_text(f"{later.day} {later:%B}")
    expect(home.locator("main")).to_contain_text("No slate.")
    after = entry(home)
    assert after["UID"] == before["UID"] and after["DTEND"].dt > before["DTEND"].dt

    home.get_by_label("Date moved").uncheck()
    home.get_by_role("button", name="Keep this choice").click()
    expect(home.get_by_role("status").first).to_be_visible()
    letters = len(letterbox.to(CUSTOMER))
    give_dates(sent.pk, dict.fromkeys(keys, later + timedelta(days=40)), FACTORY, why="Still none.")
    work()
    assert len(letterbox.to(CUSTOMER)) == letters
    assert Order.objects.get().email == CUSTOMER
