"""Whoever is asked to check the measures of a quote reads how each of them is taken."""

import re
from io import BytesIO

import openpyxl
import pytest
from django.urls import reverse
from pypdf import PdfReader

from quotes.documents.content import from_plain
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.links import token_of
from quotes.lists.issues import document_of
from quotes.models import Customer, Issue
from tests.quotes import shop

pytestmark = pytest.mark.django_db
CARD = "Slide a thin card down beside the upper pane"
SILL = "Raise the lower sash"


@pytest.fixture
def issue():
    shop.set_up()
    return shop.issued_quote(shop.cottage_opening("Stairs"), shop.cottage_opening("Landing"))


def page_of(client, issue):
    found = client.get(reverse("quote-public", args=[token_of(issue.link.nonce)]))
    return found.content.decode()


def test_the_page_and_the_papers_say_it_once(issue, client):
    """How a measure is taken stands on page, PDF and workbook, once for however many openings."""
    document = document_of(issue)
    assert [name for name, _how in document.how_to] == [
        "Upper glass height", "Lower glass height", "Opening height", "Sash weight",
    ]  # fmt: skip
    pages = PdfReader(BytesIO(quote_pdf(document))).pages
    paper = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    rows = openpyxl.load_workbook(BytesIO(quote_workbook(document))).worksheets[0].values
    book = " ".join(str(cell) for row in rows for cell in row)
    for text in (page_of(client, issue), paper, book):
        assert text.count(CARD) == text.count(SILL) == 1
        assert "Take the old liner out" not in text


def test_it_is_in_the_reader_s_language(issue, client):
    """Who reads Spanish is told in Spanish."""
    Customer.objects.update(language="es")
    draft = shop.draft_quote(shop.cottage_opening())
    shop.price_specials(draft)
    text = " ".join(how for _name, how in document_of(draft).how_to)
    assert "Suba la hoja inferior" in text and SILL not in text


def test_a_quote_issued_before_reads_as_it_did(issue, client):
    """A frozen document without these words is read without them."""
    Issue.objects.update(document={k: v for k, v in issue.document.items() if k != "how_to"})
    found = Issue.objects.get()
    assert from_plain(found.document).how_to == ()
    assert "How to measure" not in page_of(client, found)
