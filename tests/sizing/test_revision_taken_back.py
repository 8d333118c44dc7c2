"""A table put in force for a later day is taken back before that day: a mistyped year must not hold a family up."""

from datetime import date

import pytest
import time_machine
from django.urls import reverse

from sizing import lookup, tables
from sizing.models import Family, Revision
from tests.sizing.stored import dearer, in_force, person, wren

pytestmark = pytest.mark.django_db

MARCH, NEXT_MARCH = date(2026, 3, 2), date(2027, 3, 2)


@pytest.fixture(autouse=True)
def february():
    with time_machine.travel("2026-02-02 15:00:00Z"):
        yield


@pytest.fixture
def manager(client):
    client.force_login(person("manager"))
    return client


def renamed(sheets):
    sheets["Family"][2][1] = "Wren liner II"


def test_it_is_a_draft_again():
    """The revision counts from no day, its table is whole, and the family is called as before."""
    first = in_force(wren())
    table = wren(renamed)
    draft = tables.take_back(in_force(table, NEXT_MARCH))
    assert (draft.number, draft.in_force_from, draft.published_by) == (2, None, "")
    assert lookup.table_of(draft) == table
    assert lookup.in_force("wren-liner", NEXT_MARCH) == first
    assert Family.objects.get().name == "Wren liner"


def test_it_goes_in_force_on_the_right_day():
    """What was put in force for the wrong year is put in force for the right one."""
    in_force(wren())
    draft = tables.take_back(in_force(wren(dearer), NEXT_MARCH))
    tables.put_in_force(draft, MARCH, "mara")
    assert lookup.in_force("wren-liner", MARCH) == draft


@pytest.mark.parametrize("day", [date(2026, 2, 2), date(2026, 2, 1)])
def test_what_counts_already_stays(day):
    """From its first day on a table is history: another takes its place."""
    revision = in_force(wren(), day)
    with pytest.raises(tables.TableError, match="counts already"):
        tables.take_back(revision)
    assert Revision.objects.get().in_force_from == day


def test_another_draft_is_not_displaced():
    """A draft that waits is not lost for it."""
    later = in_force(wren(), MARCH)
    draft = tables.store_draft(wren(dearer), "b")
    with pytest.raises(tables.TableError, match="Draft 2 waits"):
        tables.take_back(later)
    later.refresh_from_db()
    assert later.in_force_from == MARCH
    assert lookup.family_states()[0].draft == draft


def test_refused_earlier_day_says_so():
    """Whoever is held up by a later day is told the way out."""
    in_force(wren(), NEXT_MARCH)
    draft = tables.store_draft(wren(dearer), "b")
    with pytest.raises(tables.TableError, match="or take that one back first"):
        tables.put_in_force(draft, MARCH, "mara")


def test_by_its_page(manager):
    """The family's page offers it for what does not count yet alone, and the press leads to the draft."""
    first, later = in_force(wren()), in_force(wren(dearer), MARCH)
    page = manager.get(reverse("size-table", args=["wren-liner"])).content.decode()
    assert reverse("size-table-take-back", args=[later.pk]) in page
    assert reverse("size-table-take-back", args=[first.pk]) not in page
    done = manager.post(reverse("size-table-take-back", args=[later.pk]), follow=True)
    assert done.redirect_chain[-1][0] == reverse("size-table-draft", args=[later.pk])
    assert "is taken back" in done.content.decode()


def test_counter_is_not_offered_it(client):
    """Whoever may not change tables sees no button."""
    client.force_login(person("counter"))
    later = in_force(wren(), MARCH)
    page = client.get(reverse("size-table", args=["wren-liner"])).content.decode()
    assert reverse("size-table-take-back", args=[later.pk]) not in page
