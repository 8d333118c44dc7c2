"""Every paper has the size the shop chose, or the one usual in its country."""

from io import BytesIO

import openpyxl
import pytest
from pypdf import PdfReader

from ordering.documents.factory_order import papers_of
from quotes.desk.enquiries import ask_about
from quotes.desk.shop import keep_shop
from quotes.models import Shop
from quotes.views.issued import paper
from quotes.views.specials import paper_of
from tests.ordering.placed import load_shop, sent_order
from tests.quotes.shop import cottage_opening, issued_quote, take_request

SIZES = {"letter": (612, 792), "a4": (595, 842)}
CASES = [
    ("US", "", "letter"), ("MX", "", "letter"), ("CA", "", "letter"), ("", "", "letter"),
    ("ES", "", "a4"), ("DE", "", "a4"), ("US", "a4", "a4"), ("ES", "letter", "letter"),
]  # fmt: skip


@pytest.mark.parametrize(("country", "chosen", "size"), CASES)
def test_size_by_country_or_choice(country, chosen, size):
    """The choice counts; without one, what the country prints on."""
    assert Shop(country=country, paper=chosen).paper_size == size


def size_of(pdf: bytes) -> tuple[int, int]:
    (box,) = {tuple(map(float, page.mediabox[2:])) for page in PdfReader(BytesIO(pdf)).pages}
    return round(box[0]), round(box[1])


@pytest.mark.django_db
@pytest.mark.parametrize("size", SIZES)
def test_every_paper(size, client, rf):
    """Quote, factory order, enquiry and measuring sheet, each on the paper of the shop."""
    load_shop()
    keep_shop({"name": "Tarnbrook", "paper": size})
    issue = issued_quote(cottage_opening())
    _, sent = sent_order(caller="Ida Lorne", email="ida@lorne.example")
    asked = ask_about(take_request(cottage_opening()).openings.get().pk, by="ann")
    (_, order_pdf, _), (_, order_book, _) = papers_of(sent)
    pdfs = [
        paper(issue, "pdf").content, order_pdf, paper_of(asked).content,
        client.get("/measure/otter-liner/sheet.pdf").content,
    ]  # fmt: skip
    assert [size_of(pdf) for pdf in pdfs] == [SIZES[size]] * 4
    for content in (paper(issue, "xlsx").content, order_book):
        book = openpyxl.load_workbook(BytesIO(content))
        wanted = {"letter": "1", "a4": "9"}[size]
        assert {str(sheet.page_setup.paperSize) for sheet in book} == {wanted}
