"""Specials and schedules for eyes, ears and small screens: axe, reflow."""

import re

import pytest
from playwright.sync_api import expect

from fixtures import specials
from quotes.links import factory_address
from quotes.models import Enquiry, Opening, Schedule, ScheduleLine, Special
from sizing.models import Factory
from tests.browser.wcag import violations


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
        *(factory_address(e).split("8000")[-1] for e in Enquiry.objects.all()),
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(page, addresses, scheme):
    """axe-core finds no violation on any of the pages, in light and dark."""
    page.emulate_media(color_scheme=scheme)
    for address in addresses:
        page.goto(address)
        assert violations(page, scheme) == [], address


def test_nothing_runs_off_a_small_screen(page, addresses):
    """At 320 px no page is wider than the screen."""
    page.set_viewport_size({"width": 320, "height": 700})
    for address in addresses:
        page.goto(address)
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, address


def test_errors_are_announced(page, addresses):
    """A form sent empty comes back with a summary whose lines lead to their boxes."""
    page.goto(addresses[-3])
    page.get_by_role("button", name="Send the answer").click()
    assert violations(page) == []
    page.get_by_role("alert").get_by_role("link", name="Type your name.").click()
    expect(page).to_have_url(re.compile("#id_name$"))
