"""Weeks a factory is shut are no days to answer an enquiry in."""

from datetime import date, datetime, timedelta

import pytest
import time_machine
from django.core.management import call_command
from django.utils import timezone
from django.utils.timezone import get_default_timezone

from ordering.events import open_again, shut
from ordering.publish import publish_windows
from quotes.desk.enquiries import remind
from sizing.models import Factory, PublishedShutdown
from sizing.workdays import Calendar
from tests.ordering.past_of_a_mill import mill, past
from tests.quotes import specials

pytestmark = pytest.mark.django_db(transaction=True)
WEDNESDAY = datetime(2026, 9, 9, 15, tzinfo=get_default_timezone())


def test_an_enquiry_is_due_after_the_shutdown():
    """The answer is asked for by a day that leaves out the shut days, and so is the first reminder."""
    with time_machine.travel(WEDNESDAY):
        specials.set_up()
        for factory in Factory.objects.all():
            shut(factory.pk, date(2026, 9, 10), date(2026, 9, 18), "repairs")
        call_command("work", once=True)
        enquiry = specials.asked()
        assert enquiry.due_on == date(2026, 9, 23)
        assert not remind(enquiry.pk, date(2026, 9, 23))
        assert remind(enquiry.pk, date(2026, 9, 24))


def test_taken_out_it_counts_no_more():
    """A shutdown taken out is no longer published."""
    today = timezone.localdate()
    factory = mill(ROVE=(4, 8))
    made = shut(factory.pk, today + timedelta(days=7), today + timedelta(days=9), "")
    call_command("work", once=True)
    assert PublishedShutdown.objects.get().first_day == made.first_day
    open_again(factory.pk, made.pk)
    call_command("work", once=True)
    assert not PublishedShutdown.objects.exists()


def test_a_learned_shutdown_is_published_too():
    """Weeks without a shipment each summer are days off to come, though nobody wrote them down."""
    shut_weeks = tuple((date(y, 7, 8), date(y, 7, 21)) for y in (2022, 2023, 2024))
    mill(ROVE=(4, 8))
    made = past("ROVE", 750, days=20)
    calendar = Calendar("US", shutdowns=shut_weeks)
    for n, order in enumerate(made):
        order.ordered_on = calendar.add_workdays(date(2022, 1, 3), n)
        order.shipped_on = calendar.add_workdays(order.ordered_on, 20 + n % 3)
    type(made[0]).objects.bulk_update(made, ["ordered_on", "shipped_on"])
    publish_windows(date(2025, 3, 3))
    july = PublishedShutdown.objects.filter(first_day__year=2025)
    assert any(s.first_day <= date(2025, 7, 9) and s.last_day >= date(2025, 7, 17) for s in july)
