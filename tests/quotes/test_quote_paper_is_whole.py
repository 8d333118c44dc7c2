"""Nothing that was typed is cut off on paper, however long."""

import io

import pytest
from pypdf import PdfReader

from quotes.desk.drafts import Head, change_head
from quotes.documents.pdf import quote_pdf
from quotes.lists.issues import document_of
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


def paper(issue):
    issue.refresh_from_db()
    pages = PdfReader(io.BytesIO(quote_pdf(document_of(issue), ""))).pages
    return "\n".join(page.extract_text() for page in pages)


def test_a_long_note_runs_over_pages():
    """A note of 150 lines is there to its last line, each on a line of its own."""
    issue = shop.draft_quote()
    note = "\n".join(f"note line {at:03d}" for at in range(150))
    change_head(issue.pk, Head(None, True, None, note, 30))
    lines = paper(issue).splitlines()
    assert [line for line in lines if line.startswith("note line")] == note.splitlines()


def test_a_long_description_is_whole():
    """A line made by hand may fill its 500 letters."""
    issue = shop.draft_quote()
    words = " ".join(f"word{at:03d}" for at in range(62))
    shop.add_line(issue.pk, words, 1, 5)
    found = paper(issue)
    assert all(word in found for word in words.split())


def test_many_openings_of_one_line_are_counted():
    """More openings than anybody reads in a row are counted, and each has its own place below."""
    issue = shop.draft_quote(*(shop.part_opening(f"W{at}") for at in range(21)))
    found = paper(issue)
    assert "For 21 openings, each shown below" in found
    assert all(f"Opening {at + 1}, W{at}" in found for at in range(21))
