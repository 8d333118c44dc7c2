"""A quote is accepted, ordered, promised by the factory, moved: the customer hears once and sees it everywhere."""

import re
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from django.core import mail
from django.utils import timezone
from icalendar import Calendar
from playwright.sync_api import expect

from ordering.expected import forget
from ordering.models import Order
from ordering.sending import sweep
from sizing.models import Factory
from tests.ordering.placed import accepted_quote
from tests.quotes.shop import part_opening


@pytest.fixture
def stranger(browser, live_server):
    """A browser that is signed in nowhere."""
    context = browser.new_context(base_url=live_server.url, viewport={"width": 390, "height": 800})
    yield context
    context.close()


@pytest.fixture
def quote(tables):
    forget()
    Factory.objects.filter(name="Otter Hollow Millwork").update(
        email="orders@otterhollow.example", contact="Jo Marsh", region="VT"
    )
    return accepted_quote(part_opening(quantity=3))


def link_in(message) -> str:
    """The path of the page that a mail leads to."""
    return urlsplit(re.search(r"https?://\S+/[of]/\S+", message.body)[0]).path


def mails(subject):
    sweep()
    return [message for message in mail.outbox if subject in message.subject]


def entry(context, path):
    (event,) = Calendar.from_ical(context.request.get(f"{path}order.ics").body()).walk("VEVENT")
    return event


def fits(page) -> bool:
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_from_quote_to_moved_date(page, stranger, quote):
    """Clerk, factory and customer, each with their own page; one mail for one move."""
    page.goto("/orders/")
    page.get_by_role("button", name=f"Place quote {quote.number}").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Order C-")
    order = Order.objects.get()
    page.get_by_role("link", name="Send it to Otter Hollow Millwork").click()
    page.get_by_role("button", name="Send the ticked lines").click()
    expect(page.get_by_role("status")).to_contain_text("to Otter Hollow Millwork")

    (placed,) = mails(f"{order} is placed")
    own = link_in(placed)
    before = entry(stranger, own)

    (asked,) = mails("Factory order F-")
    factory = stranger.new_page()
    factory.goto(link_in(asked))
    assert fits(factory)
    today = timezone.localdate()
    factory.get_by_label("Your name").fill("Jo Marsh")
    factory.get_by_label("One date for all lines").fill(str(today + timedelta(35)))
    factory.get_by_role("button", name="Give the date").click()
    expect(factory.get_by_role("status")).to_contain_text("the date is noted")
    assert len(mails("the factory has given a date")) == 1

    later = today + timedelta(70)
    factory.get_by_label("One date for all lines").fill(str(later))
    factory.get_by_role("button", name="Give the date").click()
    expect(factory.get_by_role("alert")).to_contain_text("needs its reason")
    factory.get_by_label("Reason, if a date moves").fill("The mill had no slate.")
    factory.get_by_role("button", name="Give the date").click()
    expect(factory.get_by_role("status")).to_contain_text("the date is noted")

    (moved,) = mails("the date has moved")
    assert mails("the date has moved") == [moved]
    assert moved.to == [order.email]
    assert "The mill had no slate." in moved.body
    assert link_in(moved) == own

    customer = stranger.new_page()
    customer.goto(own)
    assert fits(customer)
    line = order.lines.get()
    expect(customer.locator("main")).to_contain_text("The mill had no slate.")
    expect(customer.locator("main")).to_contain_text(f"the factory says {later.day} {later:%B}")
    last = f"{line.told_latest.day} {line.told_latest:%B}"
    expect(customer.locator("svg title")).to_contain_text(last)
    after = entry(stranger, own)
    assert after["UID"] == before["UID"]
    assert after["SEQUENCE"] > before["SEQUENCE"]
    assert after["DTEND"].dt == line.told_latest + timedelta(1)

    page.goto("/when/")
    page.bring_to_front()
    expect(page.locator("#q")).to_be_focused()
    page.keyboard.type("quill")
    expect(page.locator("#answer")).to_contain_text(f"{order} for Mara Quill should leave")
    expect(page.locator("#answer")).to_contain_text(f"the factory says {later.day} {later:%B}")
