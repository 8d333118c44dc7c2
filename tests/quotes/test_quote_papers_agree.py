"""The PDF, the workbook and the web page say the same, to the cent."""

import re
from decimal import Decimal
from io import BytesIO

import openpyxl
import pytest
from django.urls import reverse
from pypdf import PdfReader

from quotes.documents.content import show_amount
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.links import address_of, token_of
from quotes.lists.issues import document_of
from sizing.lengths import unbroken
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")
LINK = "https://desk.example/your-quote/abc/"


def build():
    shop.set_up()
    return shop.issued_quote(
        shop.part_opening("Kitchen", 2), shop.cottage_opening(), shop.part_opening("Hall", 7, "ash")
    )


@pytest.fixture
def issue(built):
    return built


def pdf_text(document):
    pages = PdfReader(BytesIO(quote_pdf(document, LINK))).pages
    return "\n".join(page.extract_text() for page in pages)


def test_the_pdf_holds_every_amount_and_measure(issue):
    """Every line's figures, every total, every measure as said and as understood are on the paper."""
    document = document_of(issue)
    text = pdf_text(document)
    for line in document.lines:
        for amount in (line.off("USD"), line.net, line.tax, line.total):
            assert show_amount(amount, "USD") in text
    for _, amount in document.totals:
        assert show_amount(amount, "USD") in text
    for opening in document.openings:
        assert opening.name in text
        for measure in opening.measures:
            assert measure.said in text
            assert measure.understood in text


def test_the_pdf_shows_what_must_be_read(issue):
    """Lead time, no return, cautions, the link, issue and sheet numbers are on it."""
    text = re.sub(r"\s+", " ", pdf_text(document_of(issue)))
    for words in (
        "as the factory says", "cannot be returned", "Balances hold spring tension",
        "Safety glazing may be required", LINK, str(issue), "1 of 3",
    ):  # fmt: skip
        assert words in text


def test_the_workbook_sums_to_the_same_total(issue):
    """Lines read back as numbers sum with freight to the document's total, exactly."""
    document = document_of(issue)
    rows = list(openpyxl.load_workbook(BytesIO(quote_workbook(document)))["Quote"].values)
    head = next(at for at, row in enumerate(rows) if row[0] == "No.")
    lines = [row for row in rows[head + 1 :] if isinstance(row[0], int)]
    places = [rows[head].index(name) for name in ("Net", "Tax", "Total")]
    read = [tuple(Decimal(str(row[at])) for at in places) for row in lines]
    assert read == [(line.net, line.tax, line.total) for line in document.lines]
    last = places[-1]
    totals = {r[2]: Decimal(str(r[last])) for r in rows[head + len(lines) + 1 :] if r[last]}
    assert totals[document.total_label] == document.sums.total
    assert sum(row[2] for row in read) + document.sums.freight == document.sums.total


def test_the_workbook_holds_every_measure(issue):
    """The second sheet has a line for each measure as said, understood and fitting."""
    document = document_of(issue)
    rows = list(openpyxl.load_workbook(BytesIO(quote_workbook(document)))["Openings"].values)
    wanted = [
        (opening.name, measure.said, measure.understood, measure.fit)
        for opening in document.openings
        for measure in opening.measures
    ]
    assert [(row[0], row[6], row[7], row[8]) for row in rows[1:]] == wanted


def test_the_web_page_shows_the_same_amounts(issue, client):
    """The customer's page has every figure and measure of the document."""
    document = document_of(issue)
    page = client.get(reverse("quote-public", args=[token_of(issue.link.nonce)])).content.decode()
    for line in document.lines:
        for amount in (line.net, line.tax, line.total):
            assert f">{show_amount(amount, 'USD')}<" in page
    for label, amount in document.totals:
        assert label in page
        assert show_amount(amount, "USD") in page
    for opening in document.openings:
        for measure in opening.measures:
            assert f"<td>{unbroken(measure.understood)}</td>" in page


def test_the_code_on_the_paper_is_the_link(issue):
    """The paper's link opens the customer's page."""
    link = address_of(issue)
    reader = PdfReader(BytesIO(quote_pdf(document_of(issue), link)))
    addresses = [
        note.get_object()["/A"]["/URI"] for page in reader.pages for note in page.get("/Annots", [])
    ]
    assert addresses == [link]
