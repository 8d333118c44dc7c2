"""A customer at list price sees no column of zeros; where something is off, every paper has the column."""

import io

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from quotes.documents.content import from_plain
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.models import Customer
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture(params=[False, True], ids=["list price", "trade terms"])
def issued(request, db):
    shop.set_up()
    draft = shop.draft_quote()
    if request.param:
        Customer.objects.update(terms="trade")
    from quotes.desk.issuing import issue_quote

    return issue_quote(draft.pk, "ann"), request.param


def test_page(issued, client):
    """The customer's page."""
    from quotes.links import address_of

    issue, off = issued
    page = client.get(address_of(issue).split("/", 3)[3].join(("/", ""))).text
    assert ('<th scope="col" class="figure">Discount</th>' in page) == off


def test_pdf(issued):
    """The PDF."""
    issue, off = issued
    reader = PdfReader(io.BytesIO(quote_pdf(from_plain(issue.document))))
    assert ("Discount" in reader.pages[0].extract_text()) == off


def test_workbook(issued):
    """The workbook: total and its heading still stand in one column."""
    issue, off = issued
    document = from_plain(issue.document)
    sheet = load_workbook(io.BytesIO(quote_workbook(document)))["Quote"]
    heads = next(row for row in sheet.iter_rows() if row[0].value == "No.")
    words = [cell.value for cell in heads if cell.value]
    assert ("Discount" in words) == off
    totals = [row for row in sheet.iter_rows() if row[2].value == document.total_label]
    assert totals[0][words.index("Total")].value == pytest.approx(float(document.sums.total))
