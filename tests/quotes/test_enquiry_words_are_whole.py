"""What the desk writes to a factory is whole on the enquiry's paper, however long it is."""

import io

import pytest
from pypdf import PdfReader

from quotes.desk.enquiries import ask_about
from quotes.documents.enquiry import enquiry_pdf
from quotes.models import Opening
from tests.quotes import shop, specials

pytestmark = pytest.mark.django_db


def test_hundred_lines():
    """A hundred numbered lines run on over the pages, each of them once, and the drawing follows."""
    specials.set_up()
    request = shop.take_request(shop.cottage_opening())
    words = "\n".join(f"remark number {n:03d} of the desk" for n in range(100))
    opening = Opening.objects.get(request=request)
    enquiry = ask_about(opening.pk, by="ann", words=words)
    pages = PdfReader(io.BytesIO(enquiry_pdf(enquiry.asking(), "https://desk.example/x/"))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert [n for n in range(100) if text.count(f"remark number {n:03d} of the desk") != 1] == []
    assert "As measured" in text
