"""The size-table pages: read a table or an old revision of it, by whoever may."""

import re
from datetime import date

import pytest
from django.urls import reverse

from sizing import tables
from sizing.models import Revision
from sizing.workbook.parts import HEADINGS
from tests.sizing.sheets import workbook
from tests.sizing.stored import dearer, in_force, person, wren
from tests.sizing.table_pages import text, upload

pytestmark = pytest.mark.django_db


def test_list(manager):
    """The list names each family, what is in force, and links its draft."""
    in_force(wren())
    draft = tables.store_draft(wren(dearer), "b.xlsx")
    page = text(manager.get(reverse("size-tables")))
    assert "revision 1, from 5 Jan 2026" in page
    assert reverse("size-table", args=["wren-liner"]) in page
    assert reverse("size-table-draft", args=[draft.pk]) in page


def test_empty_list(manager):
    """An empty desk says so, and offers the upload."""
    page = text(manager.get(reverse("size-tables")))
    assert "No size table is loaded yet." in page and 'name="workbook"' in page


def test_table(counter):
    """A table shows its sizes, parts, prices, what is not offered, how to measure and the fit questions."""
    in_force(wren())
    page = text(counter.get(reverse("size-table", args=["wren-liner"])))
    for words in ("17 1/2", "43 1/4", "W1LA", "31.50", "5 to 10 lb", "not offered", "Edge to edge.",
                  "3/4 to 1 1/4 in short, about 15 % of callers", "Do both sashes slide?"):  # fmt: skip
        assert words in page, words


def without_weights(sheets, finish=""):
    """A strip: one length, nothing that hangs on a sash's weight."""
    sheets["Measures"].pop()
    parts = [["glass", "opening", *HEADINGS]]
    parts += [[17.5, "40", None, None, None, finish, "W1", 3.5]]
    parts += [[19, "43 1/4", None, None, None, finish, "W2", 4.5]]
    sheets["Parts"] = parts


def headings(page):
    return re.findall(r'<th scope="col"[^>]*>([^<]*)</th>', page)


def columns(client, **said):
    """The first line of the parts' CSV."""
    answer = client.get(reverse("size-table", args=["wren-liner"]), {"as": "csv", **said})
    lines = b"".join(answer) if answer.streaming else answer.content
    return lines.decode("utf-8-sig").splitlines()[0].split(",")


def test_what_a_family_has_not_is_no_column(manager):
    """A strip shows no class, weight or finish, on its page, in its file and among a draft's changes."""
    in_force(wren(without_weights))
    page = text(manager.get(reverse("size-table", args=["wren-liner"])))
    assert not {"Class", "Sash weight"} & set(headings(page))
    assert "W1" in page and "W2" in page
    file = " ".join(columns(manager))
    assert "Part" in file and not any(word in file for word in ("Class", "Sash weight", "Finish"))

    def dearer_strip(sheets):
        without_weights(sheets)
        sheets["Parts"][1][7] = 4

    draft = tables.store_draft(wren(dearer_strip), "b")
    page = text(manager.get(reverse("size-table-draft", args=[draft.pk])))
    assert "Part number" in headings(page)
    assert not {"Class", "Finish"} & set(headings(page))


def test_what_a_family_has_is_a_column(manager):
    """Weights and finishes of a family that has them stand there as before."""
    in_force(wren())
    page = text(manager.get(reverse("size-table", args=["wren-liner"])))
    assert {"Class", "Sash weight", "ash"} <= set(headings(page))
    file = " ".join(columns(manager))
    assert all(w in file for w in ("Class", "Sash weight from", "Sash weight to", "Finish"))
    draft = tables.store_draft(wren(dearer), "b")
    page = text(manager.get(reverse("size-table-draft", args=[draft.pk])))
    assert {"Class", "Finish"} <= set(headings(page))


def test_a_lists_name_is_as_it_is_written(manager):
    """A reader that speaks hears the family's proper name, and a person sees it."""
    in_force(wren())
    page = text(manager.get(reverse("size-table", args=["wren-liner"])))
    assert page.count('<span class="unseen">: Parts of Wren liner</span>') == 2
    assert "parts of wren" not in page


def test_old_revision(counter):
    """An older revision can still be read, and is said not to count today."""
    in_force(wren())
    in_force(wren(dearer), date(2026, 2, 2))
    page = text(counter.get(reverse("size-table", args=["wren-liner"]), {"revision": "1"}))
    assert "31.50" in page and "not the one that counts today" in page


def test_draft_is_for_the_manager(client):
    """A draft's table is read by a manager; at the counter it is not there."""
    in_force(wren())
    tables.store_draft(wren(dearer), "b.xlsx")
    address = reverse("size-table", args=["wren-liner"])
    for role, status in (("manager", 200), ("counter", 404)):
        client.force_login(person(role))
        assert client.get(address, {"revision": "2"}).status_code == status
        assert ("b.xlsx" in text(client.get(address))) == (role == "manager")


@pytest.mark.parametrize("number", ["9", "x", "-1", "99999999999999999999", "²"])
def test_revision_that_is_not(counter, number):
    """A revision number that is none is not found, or the present one is shown; never a crash."""
    in_force(wren())
    page = counter.get(reverse("size-table", args=["wren-liner"]), {"revision": number})
    assert page.status_code in (200, 404)


def test_no_family(counter):
    """An unknown family is not found."""
    assert counter.get(reverse("size-table", args=["robin"])).status_code == 404


@pytest.mark.parametrize("role", ["counter", "staff"])
def test_not_for_others(client, role):
    """Who is no manager reads tables but can't bring, change, discard or download one."""
    in_force(wren())
    draft = tables.store_draft(wren(dearer), "b")
    client.force_login(person(role))
    assert client.get(reverse("size-tables")).status_code == 200
    assert 'name="workbook"' not in text(client.get(reverse("size-tables")))
    for name, key in (
        ("size-table-draft", draft.pk),
        ("size-table-workbook", draft.pk),
        ("factory", 1),
    ):
        assert client.get(reverse(name, args=[key])).status_code == 403
    assert upload(client, workbook()).status_code == 403
    assert client.post(reverse("size-table-discard", args=[draft.pk])).status_code == 403
    assert (
        client.post(reverse("size-table-draft", args=[draft.pk]), {"on": "2026-02-02"}).status_code
        == 403
    )
    assert Revision.objects.filter(in_force_from=None).get() == draft


def test_owner_may(client):
    """An owner may do what a manager may."""
    client.force_login(person("owner"))
    assert upload(client, workbook()).status_code == 200


def test_sign_in_first(client):
    """Nobody reads a table without signing in."""
    assert client.get(reverse("size-tables")).status_code == 302


def test_get_changes_nothing(manager):
    """Discard and upload take a POST only."""
    draft = tables.store_draft(wren(), "a")
    assert manager.get(reverse("size-table-discard", args=[draft.pk])).status_code == 405
    assert manager.get(reverse("size-table-upload")).status_code == 405
