"""A workbook brought in on the page of size tables: stored as a draft, or refused with what is wrong."""

import re

import pytest
from django.conf import settings
from django.urls import reverse

from sizing import lookup
from sizing.models import Revision
from sizing.workbook.family import KEYS
from sizing.workbook.measuring import FIT, MEASURES, SLIPS, WORDS
from sizing.workbook.parts import HEADINGS
from tests.sizing.sheets import cell, workbook
from tests.sizing.stored import dearer, in_force, wren
from tests.sizing.table_pages import text, upload

pytestmark = pytest.mark.django_db


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
