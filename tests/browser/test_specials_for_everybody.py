"""Specials and schedules for eyes, ears and small screens: axe, reflow."""

import re

import pytest
from playwright.sync_api import expect

from fixtures import specials
from quotes.links import factory_address
from quotes.models import Enquiry, Opening, Schedule, ScheduleLine, Special
from sizing.models import Factory
from tests.browser.wcag import violations, wrong


@pytest.fixture
def addresses(tables):
    """Every page of specials and schedules, with the demo's enquiries in their states."""
    Factory.objects.update(email="orders@otterhollow.example", contact="Jo Marsh")
    specials.load()
    schedule = Schedule.objects.get()
    line = schedule.lines.filter(attention=ScheduleLine.Attention.UNREADABLE).first()
    opening = Opening.objects.first()
    return [
        "/specials/",
        *(f"/specials/{pk}/" for pk in Special.objects.values_list("pk", flat=True)),
        f"/requests/{opening.request_id}/lead-time/",
        "/schedules/",
        f"/schedules/{schedule.pk}/",
        f"/schedules/{schedule.pk}/line/{line.pk}/?edit",
        # Those asked in one letter share its page.
        *dict.fromkeys(factory_address(e).split("8000")[-1] for e in Enquiry.objects.all()),
    ]


def test_nothing_is_wrong(page, addresses):
    """axe-core finds no violation on any of the pages, in light and dark."""
    for address in addresses:
        page.goto(address)
        assert wrong(page) == [], address


def test_errors_are_announced(page, addresses):
    """A form sent empty comes back with a summary whose lines lead to their boxes."""
    page.goto(addresses[-3])
    page.get_by_role("button", name="Send the answer").click()
    assert violations(page) == []
    page.get_by_role("alert").get_by_role("link", name="Type your name.").click()
    expect(page).to_have_url(re.compile("#id_name$"))


def test_an_openings_error_leads_into_its_boxes(page, addresses):
    """On the page of several openings a sentence leads to the box it is about, unfolded and in focus."""
    page.goto(addresses[-1])
    box = page.get_by_label("Your price for one pair").first
    box.fill("131.40")
    page.get_by_role("button", name="Send what is answered").first.click()
    assert violations(page) == []
    page.get_by_role("alert").get_by_role("link", name="whole weeks for “at least”").click()
    weeks = page.locator(":focus")
    expect(weeks).to_have_attribute("name", re.compile("-weeks_min$"))
    expect(weeks).to_be_visible()
    expect(box).to_have_value("131.40")
