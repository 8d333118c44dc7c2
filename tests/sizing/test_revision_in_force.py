"""The revision in force is the latest whose day has come."""

from datetime import date

import pytest
import time_machine

from sizing import lookup, tables
from sizing.models import Family
from tests.sizing.stored import dearer, in_force, wren

pytestmark = pytest.mark.django_db

JANUARY, MARCH = date(2026, 1, 5), date(2026, 3, 2)


@pytest.mark.parametrize(
    ("day", "number"),
    [(JANUARY, 1), (date(2026, 3, 1), 1), (MARCH, 2), (date(2027, 1, 1), 2)],
)
def test_by_day(day, number):
    """Each day has the revision that was the latest then."""
    in_force(wren(), JANUARY)
    in_force(wren(dearer), MARCH)
    assert lookup.in_force("wren-liner", day).number == number


def test_today():
    """Without a day it is today."""
    in_force(wren(), JANUARY)
    in_force(wren(dearer), MARCH)
    with time_machine.travel("2026-02-01 12:00:00Z"):
        assert lookup.in_force("wren-liner").number == 1


def test_same_day():
    """Of two revisions from one day the later number counts: so a mistake can be mended at once."""
    in_force(wren(), JANUARY)
    in_force(wren(dearer), JANUARY)
    assert lookup.in_force("wren-liner", JANUARY).number == 2


def test_earlier_day_refused():
    """A revision can't come into force before one that is; the draft is kept."""
    in_force(wren(), MARCH)
    draft = tables.store_draft(wren(dearer), "b")
    with pytest.raises(
        tables.TableError, match="in force from 2 Mar 2026; choose that day or a later"
    ):
        tables.put_in_force(draft, JANUARY, "mara")
    assert lookup.family_states()[0].draft == draft


def test_family_takes_over_facts():
    """Putting in force gives the family its new facts; the older revision keeps its own."""
    old = in_force(wren(), JANUARY)

    def renamed(sheets):
        sheets["Family"][2][1], sheets["Family"][8][1] = "Wren liner II", 5

    in_force(wren(renamed), MARCH)
    family = Family.objects.get()
    assert (family.name, family.lead_weeks_max) == ("Wren liner II", 5)
    lookup._table.cache_clear()
    assert lookup.table_of(old) == wren()


def test_who_and_when():
    """Who put it in force, and when, is kept."""
    with time_machine.travel("2026-02-01 12:00:00Z", tick=False):
        revision = in_force(wren())
    assert revision.published_by == "mara"
    assert revision.published_at.isoformat() == "2026-02-01T12:00:00+00:00"


def test_before_the_first_day():
    """Before the first day there is no table, and the sentence says from when there is."""
    in_force(wren(), MARCH)
    with pytest.raises(
        lookup.NoTableError,
        match="no table in force on 5 Jan 2026; its first counts from 2 Mar 2026",
    ):
        lookup.in_force("wren-liner", JANUARY)


def test_unknown_family():
    """An unknown code gets the codes there are."""
    in_force(wren())
    with pytest.raises(lookup.NoTableError, match="No family “robin” here; there are wren-liner"):
        lookup.in_force("robin")


def test_empty_desk():
    """With nothing loaded the sentence says so."""
    with pytest.raises(lookup.NoTableError, match="none is loaded yet"):
        lookup.in_force("robin")


def test_states():
    """The overview gives for each family what counts today, what comes next, and the draft."""
    first, second = in_force(wren(), JANUARY), in_force(wren(dearer), MARCH)
    draft = tables.store_draft(wren(), "c")
    (state,) = lookup.family_states(date(2026, 2, 1))
    assert (state.now, state.next, state.draft) == (first, second, draft)
