"""The size-table pages: read a table, bring a workbook, see what it changes, put it in force."""

import re
from datetime import date

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from sizing import lookup, tables
from sizing.models import Factory, Revision
from sizing.workbook import read_workbook
from sizing.workbook.family import KEYS
from sizing.workbook.measuring import FIT, MEASURES, SLIPS, WORDS
from sizing.workbook.parts import HEADINGS
from tests.sizing.sheets import cell, workbook
from tests.sizing.stored import dearer, in_force, person, wren

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager(client):
    client.force_login(person("manager"))
    return client


@pytest.fixture
def counter(client):
    client.force_login(person("counter"))
    return client


def upload(client, content, name="wren.xlsx", follow=True):
    file = SimpleUploadedFile(name, content)
    return client.post(reverse("size-table-upload"), {"workbook": file}, follow=follow)


def text(response):
    return " ".join(response.content.decode().split())


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


def test_upload(manager):
    """A sound workbook becomes a draft and leads to what it changes; nothing is in force yet."""
    present = in_force(wren())
    page = upload(manager, workbook(dearer))
    assert page.redirect_chain[-1][0] == reverse(
        "size-table-draft", args=[Revision.objects.latest("pk").pk]
    )
    assert "1 part dearer, by 3.15 USD (10.0 %)." in text(page)
    assert "+3.15" in text(page) and "+10.0 %" in text(page)
    assert lookup.in_force("wren-liner") == present


def test_upload_says_which_draft_goes(manager):
    """A draft that waits is not replaced silently: its workbook is named."""
    in_force(wren())
    assert "in place of" not in text(upload(manager, workbook(dearer), name="first.xlsx"))
    page = upload(manager, workbook(), name="second.xlsx")
    assert "second.xlsx is kept as a draft in place of the one from first.xlsx." in text(page)


def test_upload_warns(manager):
    """What is doubtful in the workbook stands on the page of the draft."""
    page = upload(manager, workbook(shape=cell("Parts!D3", 11)))
    assert "leave a gap at glass 17 1/2." in text(page)


def test_upload_refused(manager):
    """Every mistake of a workbook is listed, and nothing is stored."""

    def shape(book):
        book["Parts"]["B3"], book["Parts"]["H2"] = "wide", "dear"

    page = upload(manager, workbook(shape=shape))
    assert page.status_code == 422
    assert "Sheet Parts, cell B3" in text(page) and "Sheet Parts, cell H2" in text(page)
    assert not Revision.objects.exists()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty"),
        (b"a,b\n", "is no .xlsx workbook"),
        (b"PK" + bytes(5_000_001), "is larger than 5 MB"),
    ],
)
def test_upload_no_workbook(manager, content, sentence):
    """A file that is no workbook is refused in one sentence."""
    page = upload(manager, content)
    assert (page.status_code, sentence in text(page)) == (422, True)


def test_upload_nothing(manager):
    """Pressing the button without a file says so."""
    page = manager.post(reverse("size-table-upload"))
    assert "No file was chosen; choose a workbook first." in text(page)


def test_markup_in_workbook(manager):
    """Names from a workbook are shown as text, never as markup."""
    page = upload(
        manager, workbook(lambda s: s["Family"].__setitem__(2, ["name", "<script>x</script>"]))
    )
    assert "<script>x" not in page.content.decode()
    assert "&lt;script&gt;x" in page.content.decode()


def test_put_in_force(manager):
    """Putting in force freezes the draft from the day given, under the manager's name."""
    draft = tables.store_draft(wren(), "a")
    page = manager.post(
        reverse("size-table-draft", args=[draft.pk]), {"on": "2026-02-02"}, follow=True
    )
    assert "wren-liner revision 1 is in force from 2 February 2026." in text(page)
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


def test_factory(manager):
    """The factory's address and country are kept; country and state in capitals."""
    in_force(wren())
    factory = Factory.objects.get()
    said = {"email": "shop@wrenhill.example", "contact": "Ada", "country": "ca", "region": "qc"}
    manager.post(reverse("factory", args=[factory.pk]), said)
    factory.refresh_from_db()
    assert (factory.email, factory.country, factory.region) == ("shop@wrenhill.example", "CA", "QC")


@pytest.mark.parametrize(
    ("country", "region", "codes"),
    [("Germany", "Bayern", ("DE", "BY")), ("us", "Vermont", ("US", "VT"))],
)
def test_a_factorys_place_by_name(manager, country, region, codes):
    """A country is chosen from the list, and a name is never cut to the letters of another place."""
    in_force(wren())
    factory = Factory.objects.get()
    address = reverse("factory", args=[factory.pk])
    assert '<option value="DE">Germany</option>' in text(manager.get(address))
    manager.post(address, {"email": "", "contact": "", "country": country, "region": region})
    factory.refresh_from_db()
    assert (factory.country, factory.region) == codes


def test_factory_refused(manager):
    """A wrong address is refused, and what was typed stays on the page."""
    in_force(wren())
    factory = Factory.objects.get()
    page = manager.post(
        reverse("factory", args=[factory.pk]), {"email": "shop at wren", "country": "US"}
    )
    assert page.status_code == 422
    assert 'value="shop at wren"' in text(page)
    factory.refresh_from_db()
    assert factory.email == ""


@pytest.mark.parametrize(
    ("country", "region", "sentence"),
    [
        ("QQ", "", "“QQ” is no country: choose one from the list."),
        ("", "", "Choose a country from the list."),
        ("US", "ZZ", "“ZZ” is no part of US; there are AK, AL"),
        ("DE", "XX", "XX is no part of DE with its own holidays; there are BB, BE"),
    ],
)
def test_factory_without_calendar(manager, country, region, sentence):
    """A country or state whose holidays nobody knows is refused: working days could not be counted."""
    in_force(wren())
    said = {"email": "", "contact": "", "country": country, "region": region}
    page = manager.post(reverse("factory", args=[Factory.objects.get().pk]), said)
    assert (page.status_code, sentence in text(page)) == (422, True)


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


def test_every_heading_is_told(manager):
    """What the reader looks for stands where a workbook is brought in, and in the README: both are whole."""
    page = manager.get(reverse("size-tables")).content.decode()
    told = set(re.findall(r"<code>(.*?)</code>", page))
    looked_for = {*KEYS, *HEADINGS, *MEASURES, *SLIPS, *FIT, *WORDS}
    assert told == looked_for
    readme = (settings.BASE_DIR / "README.md").read_text()
    assert not {name for name in looked_for if name not in readme}


def test_upload_refused_all_down_a_column(manager):
    """What is wrong in every cell of a column is one sentence on the page."""

    def shape(book):
        for row in range(2, 6):
            book["Parts"].cell(row, 8).value = f"€{row}.00"

    page = text(upload(manager, workbook(shape=shape)))
    assert "The same in 3 more cells below it, down to H5." in page
    assert "Sheet Parts, cell H3" not in page
