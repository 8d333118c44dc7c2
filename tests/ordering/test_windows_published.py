import re
from datetime import datetime, timedelta

import pytest
import time_machine
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone
from django.utils.timezone import get_default_timezone

from ordering.models import PastOrder, Shortage
from ordering.publish import publish_windows
from quotes.days import long_date
from sizing.models import Factory, Family, PublishedWindow
from tests.ordering.past_of_a_mill import CALENDAR, mill, past
from tests.ordering.placed import user

pytestmark = pytest.mark.django_db


# A Monday, with no public holiday in the twelve weeks after it.
MONDAY = datetime(2026, 3, 2, 10, tzinfo=get_default_timezone())


@time_machine.travel(MONDAY)
def test_without_history_the_declared_weeks_are_published():
    """A family without a past is published with the working days that its declared weeks are, and says no more of itself."""
    mill(ROVE=(4, 8))
    publish_windows()
    window = PublishedWindow.objects.get()
    assert (window.earliest_days, window.likely_days, window.latest_days) == (20, 30, 40)
    assert window.basis == "The factory says it usually takes 4 to 8 weeks"
    assert window.basis_in("es") == "La fábrica dice que suele tardar 4 a 8 semanas"


def test_every_part_of_the_past_has_its_window():
    """Each part ordered before is published, narrower than the declared weeks."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    publish_windows()
    parts = PublishedWindow.objects.exclude(part_number="")
    assert {w.part_number for w in parts} == {"ROVE0", "ROVE1", "ROVE2"}
    assert all(w.earliest_days <= w.likely_days <= w.latest_days < 30 for w in parts)


def test_what_a_quote_says_is_for_customers():
    """A customer reads how many orders like theirs it rests on: no group, pace or reason of the desk's own."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    Shortage.objects.create(
        factory=Factory.objects.get(), until=timezone.localdate() + timedelta(9), reason="no pile"
    )
    publish_windows()
    windows = PublishedWindow.objects.all()
    assert {window.part_number for window in windows} == {"", "ROVE0", "ROVE1", "ROVE2"}
    for window in windows:
        assert re.match(r"as \d+ orders like it took since \w+", window.basis)
        assert window.basis_in("es").startswith("como tardaron ")
        for own in ("weight class", "family", "factory says", "%", "no pile"):
            assert own not in window.basis


def test_specials_of_the_past_stand_in_no_ones_way():
    """Orders made to measure have no part number: they count for their family's window, and have none of their own."""
    mill(ROVE=(4, 8))
    past("ROVE", 90, days=20)
    PastOrder.objects.filter(part_number="ROVE2").update(part_number="")
    publish_windows()
    numbers = PublishedWindow.objects.values_list("part_number", flat=True)
    assert sorted(numbers) == ["", "ROVE0", "ROVE1"]


def test_publishing_again_replaces():
    """A second run leaves one window a part, and none for a part that is gone."""
    mill(ROVE=(4, 8), TARN=(2, 3))
    past("ROVE", 30, days=20)
    publish_windows()
    PastOrder.objects.filter(part_number="ROVE2").delete()
    call_command("publish_windows")
    assert sorted(PublishedWindow.objects.values_list("family__code", "part_number")) == [
        ("ROVE", ""), ("ROVE", "ROVE0"), ("ROVE", "ROVE1"), ("TARN", ""),
    ]  # fmt: skip


@pytest.mark.django_db(transaction=True)
@time_machine.travel(MONDAY)
def test_a_shortage_is_published_at_once(client):
    """A shortage written down puts its working days on the published windows, and taken out, off them."""
    factory = mill(ROVE=(4, 8))
    publish_windows()
    client.force_login(user("max", "manager"))
    page = reverse("factory-calendar", args=[factory.pk])
    until = timezone.localdate() + timedelta(days=28)
    client.post(page, {"do": "short", "until": until.isoformat(), "reason": "no pile"})
    call_command("work", once=True)
    window = PublishedWindow.objects.get()
    waits = CALENDAR.workdays_between(timezone.localdate(), until)
    assert (window.earliest_days, window.latest_days) == (20 + waits, 40 + waits)
    assert f"short until {long_date(until)}" in window.basis
    client.post(page, {"supplied": factory.shortages.get().pk})
    call_command("work", once=True)
    assert PublishedWindow.objects.get().earliest_days == 20


@pytest.mark.django_db(transaction=True)
def test_windows_of_one_factory_do_not_pass_for_all():
    """The worker publishes every factory's windows although one was published today already."""
    mill(ROVE=(4, 8))
    Family.objects.create(
        code="TARN", name="TARN", factory=Factory.objects.create(name="Other"), unit="in",
        weight_unit="lb", currency="USD", lead_weeks_min=2, lead_weeks_max=3,
    )  # fmt: skip
    publish_windows()
    yesterday = timezone.now() - timedelta(days=1)
    PublishedWindow.objects.filter(family__code="TARN").update(published_at=yesterday)
    call_command("work", once=True)
    assert not PublishedWindow.objects.filter(published_at__lte=yesterday).exists()
