"""Whose language counts: the customer's where we know who reads, else what the visitor asks for."""

import pytest
from django.test import Client

from ordering.links import page_of
from quotes.desk.people import customer_for
from quotes.desk.requests import save_request
from quotes.links import address_of
from quotes.lists.requests import said_of
from quotes.models import Customer, Request
from sizing.lengths import unbroken
from tests.ordering.placed import load_shop, placed_order
from tests.quotes.shop import draft_quote, issued_quote, part_opening, take_request

pytestmark = pytest.mark.usefixtures("built")
PAGE = "/measure/otter-liner/"


def build():
    load_shop()


def page(address: str, asks: str = "en"):
    path = address.removeprefix("http://127.0.0.1:8000")
    return Client(headers={"accept-language": asks}).get(path)


@pytest.mark.parametrize(
    ("address", "asks", "language"),
    [
        (PAGE, "es-MX,es;q=0.9", "es"), (PAGE, "en-US", "en"), (PAGE, "fr", "en"), (PAGE, "", "en"),
        ("/measure-es/otter-liner/", "en", "es"), ("/measure-en/otter-liner/", "es", "en"),
        ("/measure-xx/otter-liner/", "es", "es"),
    ],
)  # fmt: skip
def test_visitor(address, asks, language):
    """The measuring page speaks the language of its address, else the browser's, else English."""
    answer = page(address, asks)
    assert (answer["Content-Language"], f'<html lang="{language}">' in answer.text) == (
        language,
        True,
    )
    other = {"en": "/measure-es/otter-liner/", "es": "/measure-en/otter-liner/"}[language]
    assert f'href="{other}"' in answer.text


def test_customers_language_beats_the_browsers():
    """A customer's pages by link are in the customer's language, whatever the browser asks for."""
    issue = issued_quote(language="es")
    order = placed_order(caller="Ida Lorne", email="ida@lorne.example", phone="802 1")
    assert page(address_of(issue), "en")["Content-Language"] == "es"
    assert page(page_of(order), "es")["Content-Language"] == "en"


@pytest.mark.parametrize(
    ("address", "asks", "language"),
    [
        ("/nothing/", "es", "es"), ("/nothing/", "en", "en"), ("/measure-es/gone/", "en", "es"),
        ("/measure-en/gone/", "es", "en"),
    ],
)  # fmt: skip
def test_no_page_there(address, asks, language, admin_client):
    """An address without a page answers in its own language, else the visitor's; at the desk in English."""
    answer = page(address, asks)
    assert (answer.status_code, answer["Content-Language"]) == (404, language)
    at_the_desk = admin_client.get(address, headers={"accept-language": asks})
    assert (at_the_desk.status_code, at_the_desk["Content-Language"]) == (404, "en")
    assert "To your first page" in at_the_desk.text


def test_said_at_the_counter():
    """What a caller reads, said with the request, is the new customer's language."""
    assert draft_quote(language="es").quote.customer.language == "es"
    assert draft_quote(caller="Ida", email="ida@lorne.example").quote.customer.language == "en"


def test_said_of_a_known_customer():
    """Said of a customer we know, it is kept with the customer; not said, it changes nothing."""
    customer = draft_quote(language="es").quote.customer
    request = take_request(part_opening())
    assert (request.customer, request.speaks) == (customer, "es")
    said = said_of(request)
    save_request(
        type(said)(**{**vars(said), "language": "en"}),
        by="ann", pk=request.pk, version=request.version,
    )  # fmt: skip
    customer.refresh_from_db()
    assert customer.language == "en"


def test_sent_from_the_spanish_page():
    """Measures sent from the page in Spanish make a customer who reads Spanish."""
    sent = {"caller": "Ida", "phone": "802 555 0100", "m-opening": "47 7/8", "do": "send"}
    answer = Client().post("/measure-es/otter-liner/", sent)
    assert answer["Location"] == "/measure-es/otter-liner/sent/"
    request = Request.objects.latest("pk")
    assert request.language == "es"
    assert customer_for(request).language == "es"


def test_issue_keeps_its_language():
    """An issued quote stays as it was written; the next issue follows the customer."""
    issue = issued_quote(language="es")
    Customer.objects.update(language="en")
    assert page(address_of(issue), "en")["Content-Language"] == "es"


def test_desk_and_factory_read_english():
    """An order of a customer who reads Spanish is in English for desk and factory."""
    order = placed_order(part_opening(), language="es")
    assert order.customer.language == "es"
    assert order.lines.get().description.startswith("Otter Hollow jamb liner, glass 20 1/4")
    assert unbroken("Guía de jamba Otter Hollow, vidrio 20 1/4, hueco") in page(page_of(order)).text
