"""A factory that does not answer is flagged after so many working days, and asked again once."""

from datetime import date

import pytest
import time_machine

from ordering.attention import Need
from ordering.events import chase, give_dates
from ordering.lists.watch import watch_list
from ordering.models import Notice
from ordering.states import NotAllowed
from tests.ordering.placed import CLERK, FACTORY, load_shop, sent_order

pytestmark = pytest.mark.usefixtures("built")


def build():
    with time_machine.travel("2030-05-23 12:00", tick=False):  # a Thursday
        load_shop()
        return sent_order()[1]


@pytest.fixture
def sent(built):
    return built


def needs():
    return [(noted.item.need, noted.item.why) for noted in watch_list()]


@pytest.mark.parametrize(
    ("day", "flagged"),
    # Monday 27 May 2030 is Memorial Day: the fourth working day is Thursday 30 May.
    [("2030-05-24", False), ("2030-05-29", False), ("2030-05-30", True)],
)
def test_after_three_working_days(sent, day, flagged):
    """Weekends and the factory's holidays are not held against it."""
    with time_machine.travel(f"{day} 12:00", tick=False):
        assert (Need.NO_ANSWER in [need for need, _ in needs()]) is flagged


def test_the_line_says_why(sent):
    """The reason counts the working days and names the factory."""
    with time_machine.travel("2030-05-31 12:00", tick=False):
        said = dict(needs())[Need.NO_ANSWER]
    assert said == "sent 5 working days ago and Otter Hollow Millwork has not answered"


def test_asked_again_once(sent):
    """However often the button is pressed the factory gets one more mail, and then the line says so."""
    with time_machine.travel("2030-05-31 12:00", tick=False):
        chase(sent.pk, CLERK)
        chase(sent.pk, CLERK)
        assert Notice.objects.filter(kind="chased").count() == 1
        assert "asked again on 31 May" in dict(needs())[Need.NO_ANSWER]


def test_answered_it_is_gone(sent):
    """A date clears the flag, and there is nothing left to ask."""
    with time_machine.travel("2030-05-31 12:00", tick=False):
        give_dates(sent.pk, {sent.lines.get().pk: date(2030, 7, 1)}, FACTORY)
        assert Need.NO_ANSWER not in [need for need, _ in needs()]
        with pytest.raises(NotAllowed, match="nothing to ask"):
            chase(sent.pk, CLERK)
