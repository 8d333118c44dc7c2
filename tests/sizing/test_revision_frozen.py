"""A revision in force can't be written to in any ordinary way."""

from datetime import date

import pytest

from sizing import lookup, models, tables
from sizing.frozen import FrozenError
from tests.sizing.stored import in_force, wren

pytestmark = pytest.mark.django_db

OF_REVISION = [models.Column, models.Measure, models.Row, models.Part, models.FitQuestion]
LINES = [*OF_REVISION, models.Slip]


@pytest.mark.parametrize("model", [models.Revision, *LINES])
@pytest.mark.parametrize(
    "write",
    [
        lambda model: model.objects.first().save(),
        lambda model: model.objects.first().delete(),
        lambda model: model.objects.all().delete(),
        lambda model: model.objects.filter(pk__gt=0).update(pk=1),
        lambda model: model.objects.bulk_update([model.objects.first()], [_field(model)]),
    ],
    ids=["save", "delete", "delete all", "update", "bulk update"],
)
def test_no_write(model, write):
    """Saving, deleting and updating are refused for the revision and each of its lines."""
    revision = in_force(wren())
    with pytest.raises(FrozenError):
        write(model)
    lookup._table.cache_clear()
    assert lookup.table_of(revision) == wren()


def _field(model):
    return {models.Revision: "source", models.Slip: "share", models.Row: "lengths", models.Part: "finish",
            models.FitQuestion: "question"}.get(model, "label")  # fmt: skip


@pytest.mark.parametrize("model", OF_REVISION)
def test_nothing_added(model):
    """Nothing can be added to it either, singly or in bulk."""
    revision = in_force(wren())
    with pytest.raises(FrozenError):
        model(revision=revision).save()
    with pytest.raises(FrozenError):
        model.objects.bulk_create([model(revision=revision)])


def test_slip_not_added():
    """A slip belongs to the revision of its measure."""
    in_force(wren())
    slip = models.Slip(
        measure=models.Measure.objects.first(), name="x", shift_min=0, shift_max=1, share=0
    )
    with pytest.raises(FrozenError):
        slip.save()


def test_stale_copy():
    """A copy read while it was a draft is refused too: the database is asked, not the copy."""
    draft = tables.store_draft(wren(), "a")
    part = models.Part.objects.first()
    tables.put_in_force(draft, date(2026, 1, 5), "mara")
    part.part_number = "X"
    with pytest.raises(FrozenError):
        part.save()
    with pytest.raises(tables.TableError, match="in force and can't be changed"):
        tables.discard_draft(draft)
    with pytest.raises(tables.TableError, match="in force and can't be changed"):
        tables.put_in_force(draft, date(2026, 2, 5), "mara")


def test_sold_counts_on():
    """Only the count of what was sold goes on in a row of a revision in force."""
    in_force(wren())
    row = models.Row.objects.first()
    row.sold = 3
    row.save(update_fields=["sold"])
    models.Row.objects.update(sold=4)
    assert models.Row.objects.first().sold == 4
    with pytest.raises(FrozenError):
        models.Row.objects.update(sold=5, position=9)


def test_draft_is_free():
    """A draft can be written to."""
    tables.store_draft(wren(), "a")
    assert models.Part.objects.update(finish="slate") == len(wren().parts)
