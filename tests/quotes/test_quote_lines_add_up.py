"""Who works a quote through with a pocket calculator comes to the same: nothing is off that does not stand there."""

import io
import re
from decimal import Decimal

import pytest
from django.urls import reverse
from openpyxl import load_workbook
from pypdf import PdfReader

from quotes.desk.drafts import add_line
from quotes.desk.issuing import issue_quote
from quotes.documents.content import show_amount
from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.links import token_of
from quotes.lists.issues import document_of
from quotes.models import Customer
from tests.quotes import shop

pytestmark = pytest.mark.django_db


@pytest.fixture(params=["", "trade"], ids=["breaks alone", "breaks and terms"])
def issue(request):
    """Seven pairs at 2.5 % off for the quantity, a special, a box from the shelf."""
    shop.set_up()
    draft = shop.draft_quote(
        shop.part_opening(quantity=4), shop.part_opening("Hall", 3, "ash"), shop.cottage_opening()
    )
    shop.price_specials(draft)
    add_line(draft.pk, "Screws, by the piece", 9, Decimal("0.0349"))
    Customer.objects.update(terms=request.param)
    return issue_quote(draft.pk, "ann")


def test_every_line_and_the_total(issue):
    """Price times count less the discount is the net; net and tax the total; the sums are those of the columns."""
    document = document_of(issue)
    assert any(line.break_percent for line in document.lines)
    for line in document.lines:
        times = round(line.unit_price * line.quantity + Decimal("1e-9"), 2)
        assert times - line.off("USD") == line.net and line.net + line.tax == line.total
    said = [amount for _label, amount in document.totals]
    goods, off, freight, tax, total = said[:5]
    assert goods == sum(line.net + line.off("USD") for line in document.lines)
    assert off == -sum(line.off("USD") for line in document.lines) < 0
    assert goods + off + freight + tax == total == document.sums.total


def test_page_and_papers_show_it(issue, client):
    """What is off stands in the column of the page, the PDF and the workbook alike."""
    document = document_of(issue)
    wanted = [show_amount(line.off("USD"), "USD") for line in document.lines]
    page = client.get(reverse("quote-public", args=[token_of(issue.link.nonce)])).text
    assert re.findall(r'data-name="Discount">([\d.,]+)<', page) == wanted
    sheet = load_workbook(io.BytesIO(quote_workbook(document)))["Quote"]
    head, *rows = [row for row in sheet.values if row[0] == "No." or isinstance(row[0], int)]
    column = [row[head.index("Discount")] for row in rows]
    assert [show_amount(Decimal(str(one)), "USD") for one in column] == wanted
    paper = PdfReader(io.BytesIO(quote_pdf(document))).pages[0].extract_text()
    assert all(amount in paper for amount in wanted)
