"""What the counter says of a part ordered today is what its order says: the declared weeks are counted in one way."""

from datetime import date, datetime, timedelta

import pytest
import time_machine
from django.utils.timezone import get_default_timezone

from ordering.answers import lead_times
from ordering.models import PastOrder, Shutdown
from ordering.publish import publish_windows
from quotes.lists.prices import leaves_between
from sizing.models import Family, PublishedWindow, Revision
from sizing.workdays import Calendar
from tests.ordering.past_of_a_mill import mill, past

pytestmark = pytest.mark.django_db
# Thanksgiving, Christmas and New Year lie within six weeks of each, or none do.
DAYS = [
    date(2026, 11, 16),
    date(2026, 11, 28),
    date(2026, 12, 7),
    date(2026, 12, 24),
    date(2027, 2, 1),
]


def at(day):
    return time_machine.travel(
        datetime(day.year, day.month, day.day, 10, tzinfo=get_default_timezone())
    )


def counter(family, day, part=""):
    """The days that are named before there is an order: a table of the family needs no rows for that."""
    table = Revision(family=family, factory=family.factory, lead_weeks_min=4, lead_weeks_max=6)
    return leaves_between(table, part, day)


def order(factory, day, part=""):
    window = lead_times(factory, day).of_part("ROVE", part, day)
    return window.earliest, window.latest


def rove(shut=False):
    factory = mill(ROVE=(4, 6))
    if shut:
        Shutdown.objects.create(
            factory=factory, first_day=date(2026, 12, 23), last_day=date(2027, 1, 3)
        )
    return factory, Family.objects.select_related("factory").get()


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("shut", [False, True])
@pytest.mark.parametrize("is_published", [False, True])
def test_the_declared_weeks_are_weeks_of_the_calendar(day, shut, is_published):
    """Four weeks are four weeks, a public holiday in them or not; the days on which the factory is shut come on top."""
    factory, family = rove(shut)
    with at(day):
        if is_published or shut:
            publish_windows()
        if not is_published:
            PublishedWindow.objects.all().delete()
        assert counter(family, day) == order(factory, day)
    if not shut:
        works = Calendar("US")
        assert order(factory, day) == tuple(
            works.add_workdays(day + timedelta(weeks=weeks), 0) for weeks in (4, 6)
        )


def test_a_plant_shut_over_christmas_makes_nothing_then():
    """Six working days are put on top of what would be ready on 4 January, and of nothing that is ready before."""
    _, family = rove(shut=True)
    with at(date(2026, 12, 7)):
        publish_windows()
        assert counter(family, date(2026, 12, 7)) == (date(2027, 1, 12), date(2027, 1, 27))
    with at(date(2026, 11, 16)):
        publish_windows()
        assert counter(family, date(2026, 11, 16))[0] == date(2026, 12, 14)


@pytest.mark.parametrize("day", DAYS)
def test_what_its_shipments_say_of_its_days_off_holds_at_the_counter(day):
    """A factory that works on Saturdays and on Veterans Day: its days are counted by one calendar."""
    factory, family = rove()
    works = Calendar(
        "US", weekend=(6,), worked=frozenset(date(year, 11, 11) for year in range(2020, 2027))
    )
    rows = []
    for n in range(700):
        placed = works.add_workdays(date(2024, 1, 8), n)
        rows.append(
            PastOrder(
                reference=f"S-{n}", family=family, part_number="S", quantity=1, ordered_on=placed,
                shipped_on=works.add_workdays(placed, 20 + n * 7 % 5),
            )
        )  # fmt: skip
    PastOrder.objects.bulk_create(row for row in rows if row.shipped_on <= day)
    with at(day):
        publish_windows()
        factory.refresh_from_db()
        assert lead_times(factory, day).calendar.weekend == (6,)
        family = Family.objects.select_related("factory").get()
        assert counter(family, day) == order(factory, day)


def test_with_a_past_they_agree_too():
    factory, family = rove(shut=True)
    past("ROVE", 200, days=24, first=date(2024, 1, 8))
    day = date(2026, 12, 3)
    with at(day):
        publish_windows()
        assert counter(family, day, "ROVE0") == order(factory, day, "ROVE0")
