"""Customers and factories read on pages and papers their own words, not those of the desk's tables."""

import re
from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from ordering.expected import forget
from ordering.links import page_of as page_of_order
from quotes.desk.issuing import issue_quote
from quotes.documents.content import from_plain
from quotes.documents.pdf import quote_pdf
from quotes.links import address_of
from quotes.models import Customer
from sizing.models import Factory
from tests.ordering.placed import sent_order, user
from tests.quotes import letters
from tests.quotes.shop import draft_quote, load_liner, load_prices, part_opening, price_specials

pytestmark = pytest.mark.usefixtures("built")

DESK = re.compile(
    r"in the class|taken as said|they said|Understood|off the table|(the|our) desk\b|declares"
)


def build():
    load_liner()
    load_prices()
    user()
    Factory.objects.update(email="orders@otterhollow.example", contact="Jo Marsh")


def page_of(issue):
    page = Client().get("/" + address_of(issue).split("/", 3)[3]).content.decode()
    return page[page.index("<main") :]


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_customers_quote(language):
    """Page and PDF head what we made of each measure with our check of it, and name the part's weight range."""
    issue = draft_quote(part_opening())
    price_specials(issue)
    Customer.objects.update(language=language)
    issued = issue_quote(issue.pk, "ann")
    paper = PdfReader(BytesIO(quote_pdf(from_plain(issued.document))))
    for text in (page_of(issued), " ".join(sheet.extract_text() for sheet in paper.pages)):
        assert not DESK.search(text) and not re.search(r"dentro de la clase|Entendido", text)
        for words in {
            "en": ("As we read it", "Our check", "in its weight range"),
            "es": ("Como lo leímos", "Nuestra revisión", "dentro de su rango de peso"),
        }[language]:
            assert words in " ".join(text.split())


def test_a_factorys_enquiry():
    """A factory reads what was measured and why it is asked, in words of its own table."""
    (enquiry,) = letters.ask(letters.request_of(1))
    page = letters.page(enquiry)
    page = page[page.index("<main") :]
    assert "As measured" in page and "Our check" in page and not DESK.search(page)


def test_a_customers_order():
    """What happened names the lines that went to the factory, not our number for what was sent there."""
    forget()
    order, sent = sent_order(part_opening())
    page = Client().get("/" + page_of_order(order).split("/", 3)[3]).text
    assert "sent to the factory, line 1" in page and sent.number not in page
