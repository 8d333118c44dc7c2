"""A draft changes nothing; the next draft takes its place."""

import pytest

from sizing import lookup, tables
from sizing.models import Factory, Family, Part, Revision
from tests.sizing.stored import dearer, in_force, wren

pytestmark = pytest.mark.django_db


def test_first_draft():
    """The first draft of a new family creates the family and its factory, and nothing is in force."""
    draft = tables.store_draft(wren(), "wren.xlsx", ["look here"])
    assert (draft.number, draft.source, draft.warnings) == (1, "wren.xlsx", ["look here"])
    assert Family.objects.get().factory == Factory.objects.get(name="Wren Hill Shop")
    with pytest.raises(lookup.NoTableError, match="its draft waits"):
        lookup.in_force("wren-liner")


def test_stored_whole():
    """What is stored reads back as the same table."""
    table = wren()
    assert lookup.table_of(tables.store_draft(table, "a")) == table


def test_next_draft_replaces():
    """There is one draft of a family at most, the last one stored."""
    tables.store_draft(wren(), "a")
    second = tables.store_draft(wren(dearer), "b")
    assert Revision.objects.get() == second
    assert Part.objects.count() == len(wren().parts)


def test_in_force_stays():
    """A draft leaves the table in force and the family's facts as they are."""
    present = in_force(wren())
    tables.store_draft(
        wren(lambda sheets: sheets["Family"].__setitem__(2, ["name", "Wren liner II"])), "b"
    )
    assert lookup.in_force("wren-liner") == present
    assert Family.objects.get().name == "Wren liner"
    assert lookup.table_of(present) == wren()


def test_discard():
    """A discarded draft is gone with all its lines, and its number is free again."""
    present = in_force(wren())
    tables.discard_draft(tables.store_draft(wren(dearer), "b"))
    assert Revision.objects.get() == present
    assert tables.store_draft(wren(dearer), "c").number == 2


def test_discarded_twice():
    """A draft that is gone already is said to be gone."""
    draft = tables.store_draft(wren(), "a")
    tables.discard_draft(draft)
    draft.pk = 1
    with pytest.raises(tables.TableError, match="replaced or discarded"):
        tables.discard_draft(draft)


def test_nothing_half_stored(monkeypatch):
    """When the last step fails nothing of the draft stays, and the older draft is still there."""
    older = tables.store_draft(wren(), "a")
    monkeypatch.setattr(tables, "_store_parts", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        tables.store_draft(wren(dearer), "b")
    assert Revision.objects.get() == older
    assert lookup.table_of(older) == wren()
