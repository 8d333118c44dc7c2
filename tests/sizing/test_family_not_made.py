"""A family that its factory makes no more is offered to nobody from that day on, and what was asked of it stays."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from quotes.lists.prices import part_in_force
from sizing.lookup import (
    NoTableError,
    all_in_force,
    any_in_force,
    family_states,
    in_force,
    table_of,
)
from sizing.models import Family
from sizing.tables import import_workbook, stop_offering
from tests.quotes.conftest import publish
from tests.quotes.counter_page import words_of
from tests.sizing.stored import person

pytestmark = pytest.mark.django_db
LAST = date(2030, 5, 2)
DAY_AFTER = LAST + timedelta(1)


@pytest.fixture
def liner():
    return publish("otter-liner")


def test_until_the_day_before(liner):
    """Every question of a table in force agrees, on the last day and on the day after it."""
    stop_offering(liner.family, DAY_AFTER)
    part = liner.parts.exclude(part_number="").first()
    assert in_force(liner.family.code, LAST) == liner == part_in_force(part, LAST).revision
    assert all_in_force(LAST) == [liner]
    assert family_states(LAST)[0].now == liner
    with pytest.raises(NoTableError, match="has not been made since 3 May 2030"):
        in_force(liner.family.code, DAY_AFTER)
    assert (all_in_force(DAY_AFTER), part_in_force(part, DAY_AFTER)) == ([], None)
    assert family_states(DAY_AFTER)[0].now is None
    assert any_in_force()
    stop_offering(liner.family, timezone.localdate())
    assert not any_in_force()


def test_a_new_table_brings_it_back(liner):
    """A table that counts before the last day leaves the day; one that counts later says that it is made."""
    stop_offering(liner.family, DAY_AFTER)
    table = table_of(liner)
    import_workbook(table, "dearer", [], LAST, "test")
    assert Family.objects.get().not_made_from == DAY_AFTER
    import_workbook(table, "again", [], DAY_AFTER, "test")
    assert Family.objects.get().not_made_from is None


def test_manager_says_it_and_takes_it_back(client, liner):
    """On the table's page; with no day it is made again. What is no day changes nothing."""
    place = reverse("size-table", args=[liner.family.code])
    client.force_login(person("manager"))
    today = timezone.localdate()
    assert client.post(place, {"not_made_from": today.isoformat()}).status_code == 302
    assert "It has not been made since" in words_of(client.get(place))
    assert "not made since" in words_of(client.get(reverse("size-tables")))
    refused = client.post(place, {"not_made_from": "spring"})
    assert refused.status_code == 422
    assert "Not made any more from: “spring” is no day; type it like" in words_of(refused)
    assert Family.objects.get().not_made_from == today
    client.post(place, {"not_made_from": ""})
    assert Family.objects.get().not_made_from is None


def test_a_customer_with_an_old_address_is_told(client, liner):
    """The measuring page and its sheet say in both languages that it is not made any more; an unknown one is 404."""
    stop_offering(liner.family, timezone.localdate())
    code = liner.family.code
    for name, said in (
        ("measure", "It is not made any more."),
        ("measure-sheet", "Ya no se fabrica."),
    ):
        answer = client.get(
            reverse(name, args=[code]), headers={"accept-language": "es" if "Ya" in said else "en"}
        )
        assert answer.status_code == 410
        assert said in words_of(answer) and liner.name in words_of(answer)
        assert client.get(reverse(name, args=["no-such"])).status_code == 404
