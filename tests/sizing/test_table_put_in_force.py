"""A draft on its page: put in force on a day, replaced, discarded, given out as a workbook."""

from datetime import date

import pytest
from django.urls import reverse

from sizing import tables
from sizing.models import Revision
from sizing.workbook import read_workbook
from tests.sizing.stored import dearer, in_force, wren
from tests.sizing.table_pages import text

pytestmark = pytest.mark.django_db


def test_put_in_force(manager):
    """Putting in force freezes the draft from the day given, under the manager's name."""
    draft = tables.store_draft(wren(), "a")
    page = manager.post(
        reverse("size-table-draft", args=[draft.pk]), {"on": "2026-02-02"}, follow=True
    )
    assert "Wren liner, revision 1, is in force from 2 February 2026." in text(page)
    draft.refresh_from_db()
    assert (draft.in_force_from, draft.published_by) == (date(2026, 2, 2), "manager-person")


@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        ("", "No day was given"),
        ("soon", "In force from: “soon” is no day; type it like 2031-05-14."),
        ("2026-01-01", "choose that day or a later one"),
    ],
)
def test_day_refused(manager, day, sentence):
    """A day that can't be is refused; the draft stays and what was typed too."""
    in_force(wren())
    draft = tables.store_draft(wren(dearer), "b")
    page = manager.post(reverse("size-table-draft", args=[draft.pk]), {"on": day})
    assert page.status_code == 422
    assert sentence in text(page)
    assert page.context["form"]["on"].value() == day
    draft.refresh_from_db()
    assert draft.in_force_from is None


def test_replaced_draft(manager):
    """A draft that was replaced meanwhile leads back to the list with the reason."""
    old = tables.store_draft(wren(), "a")
    tables.store_draft(wren(dearer), "b")
    for name in ("size-table-draft", "size-table-discard"):
        page = manager.post(reverse(name, args=[old.pk]), {"on": "2026-02-02"}, follow=True)
        assert page.redirect_chain[-1][0] == reverse("size-tables")
        assert "This draft was replaced or discarded" in text(page)


def test_discard(manager):
    """Discarding removes the draft and leaves what is in force."""
    present = in_force(wren())
    draft = tables.store_draft(wren(dearer), "b")
    manager.post(reverse("size-table-discard", args=[draft.pk]))
    assert Revision.objects.get() == present


def test_download(manager):
    """The workbook that comes down reads back as the table."""
    revision = in_force(wren())
    response = manager.get(reverse("size-table-workbook", args=[revision.pk]))
    assert response["Content-Disposition"] == 'attachment; filename="wren-liner-revision-1.xlsx"'
    assert read_workbook(response.content)[0] == wren()
