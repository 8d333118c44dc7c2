"""Reminders by the factory's own working days; then it is time to call."""

from datetime import date, datetime

import pytest
import time_machine
from django.core import mail
from django.core.management import call_command
from django.utils.timezone import get_default_timezone

from quotes.desk.enquiries import remind
from quotes.enquiries import MOST_REMINDERS, next_reminder
from quotes.lists.specials import waiting
from sizing.workdays import calendar_of
from tests.quotes import specials
from tests.quotes.specials import take_answer

pytestmark = pytest.mark.django_db(transaction=True)
# A Wednesday, the day before Thanksgiving in the United States.
WEDNESDAY = datetime(2026, 11, 25, 15, tzinfo=get_default_timezone())


@pytest.mark.parametrize(
    "day, count, country, region, then",
    [
        (date(2026, 11, 25), 3, "US", "VT", date(2026, 12, 1)),
        (date(2026, 11, 25), 3, "CA", "QC", date(2026, 11, 30)),
        (date(2026, 6, 23), 1, "CA", "QC", date(2026, 6, 25)),
        (date(2026, 6, 23), 1, "CA", "ON", date(2026, 6, 24)),
        (date(2026, 12, 31), 1, "US", "", date(2027, 1, 4)),
        (date(2026, 11, 28), 1, "US", "", date(2026, 12, 1)),
        (date(2026, 7, 1), 2, "XX", "", date(2026, 7, 3)),
    ],
)
def test_days_off_do_not_count(day, count, country, region, then):
    """Weekends and the public holidays of the factory's country and region are no days to answer in."""
    assert calendar_of(country, region).add_workdays(day, count) == then


def test_each_reminder_when_it_is_due_and_no_more():
    """Not a day early, once each, and after the last one nothing."""
    with time_machine.travel(WEDNESDAY):
        specials.set_up()
        enquiry = specials.asked()
        assert enquiry.due_on == date(2026, 12, 1)
        days = [date(2026, 12, day) for day in (1, 2, 2, 3, 4, 7, 8, 9, 10)]
        assert [remind(enquiry.pk, day) for day in days] == [
            False, True, False, False, True, False, True, False, False,
        ]  # fmt: skip
    enquiry.refresh_from_db()
    assert enquiry.reminders == MOST_REMINDERS
    assert specials.happened(enquiry.special).count("factory reminded") == MOST_REMINDERS
    assert next_reminder(enquiry.due_on, MOST_REMINDERS, calendar_of("US")) is None


def test_a_desk_that_was_shut_sends_one():
    """The worker was off for two weeks: one reminder goes out, the next when its days are over again."""
    with time_machine.travel(WEDNESDAY):
        specials.set_up()
        enquiry = specials.asked()
    days = [date(2026, 12, day) for day in (15, 15, 16, 17, 18, 21)]
    assert [remind(enquiry.pk, day) for day in days] == [True, False, False, True, False, True]


def test_an_answer_ends_them():
    """Who has answered is not reminded."""
    specials.set_up()
    enquiry = specials.asked()
    take_answer(enquiry.pk, specials.usual_answer())
    assert not remind(enquiry.pk, date(2099, 1, 1))


def test_the_worker_sends_it_on_its_morning():
    """The reminder waits in the queue for its day; nobody has to press anything."""
    with time_machine.travel(WEDNESDAY):
        specials.set_up()
        specials.asked()
        call_command("db_worker", batch=True, interval=0, verbosity=0)
    assert [letter.subject.split(":")[0] for letter in mail.outbox] != ["Reminder"]
    with time_machine.travel(datetime(2026, 12, 2, 12, tzinfo=get_default_timezone())):
        call_command("db_worker", batch=True, interval=0, verbosity=0)
        # The reminder's own letter may have come into the queue behind the worker's back.
        call_command("db_worker", batch=True, interval=0, verbosity=0)
    assert mail.outbox[-1].subject.startswith("Reminder: Enquiry")


def test_overdue_is_shown_and_then_whom_to_call(clerk):
    """The list says since when it is overdue, and after the last reminder to call."""
    with time_machine.travel(WEDNESDAY):
        specials.set_up()
        enquiry = specials.asked()
    assert not waiting(date(2026, 12, 1))[0].overdue
    assert waiting(date(2026, 12, 2))[0].overdue and not waiting(date(2026, 12, 2))[0].to_call
    for day in (2, 4, 8):
        remind(enquiry.pk, date(2026, 12, day))
    assert waiting(date(2026, 12, 9))[0].to_call
