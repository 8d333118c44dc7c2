"""The clerk is shown the day that a message names; only one that is certain is in its box already."""

from datetime import date

import pytest
import time_machine

from quotes.models import Request
from tests.quotes.conftest import clerk_named
from tests.quotes.counter_page import fields_of, words_of
from tests.quotes.pasted_page import read, send

pytestmark = pytest.mark.usefixtures("liner")
SIZES = "Upper glass 20 1/4, lower glass 20 1/4, opening 47 7/8."


@pytest.fixture(autouse=True)
def in_november(clerk):
    # A sign-in ends by the clock, so only the day is fixed.
    with time_machine.travel(date.today().replace(month=11, day=27), tick=False):
        clerk.force_login(clerk_named("noor"))
        yield


def test_certain_day_is_in_its_box_and_in_the_request(clerk):
    """The day is read, may be changed like any other box, and goes with the request."""
    page = read(clerk, f"{SIZES} Needed by 12/12. Ann Lowe")
    assert "The message names a day: “ Needed by 12/12 ”" in words_of(page)
    day = f"{date.today().year}-12-12"
    assert fields_of(page)["needed_by"] == day
    send(clerk, page, "make", o0_right="on")
    assert Request.objects.get().needed_by.isoformat() == day


@pytest.mark.parametrize(
    "words", ["needed by 03/04", "by Christmas", "before the end of next week"]
)
def test_doubtful_day_is_shown_only(clerk, words):
    """What may be two days is left to the clerk, and is no number to be placed in a box of measures."""
    page = read(clerk, f"{SIZES} We want it {words}.")
    assert words.split()[-1] in words_of(page).partition("The message names a day: “")[2][:60]
    assert not fields_of(page).get("needed_by")
    assert "Not placed" not in words_of(page)


def test_day_typed_over_is_not_lost(clerk):
    """Reading it again tells what would go."""
    page = read(clerk, f"{SIZES} Needed by 12/12.")
    again = send(clerk, page, "read", needed_by="2031-01-05")
    assert again.status_code == 409
    assert "needed by" in words_of(again)
    assert fields_of(again)["needed_by"] == "2031-01-05"
