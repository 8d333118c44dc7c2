"""A date on a day on which its factory is shut is kept, and whoever gives it is told so in a sentence."""

from datetime import date

import pytest
import time_machine
from django.urls import reverse

from ordering.expected import forget
from ordering.links import page_of_factory
from ordering.logged import state_of
from ordering.models import Shutdown
from sizing.models import Factory
from tests.ordering.placed import load_shop, sent_order, user

# A Monday.
TODAY = date(2026, 11, 2)
DAYS = {
    date(2026, 11, 14): "Saturday, 14 November 2026 (weekend)",
    date(2026, 11, 26): "Thursday, 26 November 2026 (Thanksgiving Day)",
    date(2026, 12, 29): "Tuesday, 29 December 2026 (shutdown)",
}


@pytest.fixture
def order(db):
    with time_machine.travel(TODAY):
        load_shop()
        Shutdown.objects.create(
            factory=Factory.objects.get(), first_day=date(2026, 12, 28), last_day=date(2027, 1, 1)
        )
        forget()
        yield sent_order()


def give(client, address, order, day):
    line = order.lines.get()
    typed = {"do": "dates", "name": "Jo", f"version-{line.pk}": line.version, "all": day}
    answer = client.post(address, typed, follow=True)
    assert state_of(order).lines[1].promised_on == date.fromisoformat(str(day))
    return answer.text


@pytest.mark.parametrize("day", DAYS)
def test_the_factory_reads_it(client, order, day):
    """On its own page: which day, and why it is taken to be shut."""
    placed, sent = order
    page = give(client, "/" + page_of_factory(sent).split("/", 3)[3], placed, day)
    assert f"Otter Hollow Millwork is shut on {DAYS[day]}: the date is kept as given" in page


def test_the_desk_reads_it(client, order):
    """Whoever writes down by phone what the factory says."""
    placed, sent = order
    client.force_login(user())
    page = give(client, reverse("factory-order", args=[sent.pk]), placed, date(2026, 11, 14))
    assert "is shut on Saturday, 14 November 2026 (weekend)" in page


def test_a_working_day_needs_no_word(client, order):
    placed, sent = order
    page = give(client, "/" + page_of_factory(sent).split("/", 3)[3], placed, date(2026, 11, 16))
    assert "the date is noted" in page and "is shut on" not in page
