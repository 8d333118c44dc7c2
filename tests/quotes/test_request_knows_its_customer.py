"""A request shows whose call it is: the one customer with that e-mail or phone, or the one somebody chose."""

from dataclasses import replace

import pytest

from quotes.desk.people import choose_customer, merge_customers, save_customer
from quotes.desk.quoting import begin_quotes
from quotes.desk.requests import save_request
from quotes.lists.requests import said_of
from quotes.models import Contact, Customer, Request
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")

PHONE, MAIL = "(802) 555-0131", "una@brandt.example"


def build():
    shop.load_liner()


def known(name, phone=PHONE, email=""):
    return save_customer(Customer(name=name), [Contact(name=name, phone=phone, email=email)])


def call(caller="", phone="802 555 0131", email=""):
    request = shop.take_request(shop.part_opening(), caller=caller, phone=phone, email=email)
    return Request.objects.get(pk=request.pk)


@pytest.mark.parametrize(
    "caller, phone, email",
    [
        ("Una Brandt", "802.555.0131", ""),
        ("", "+1 802 555 0131", ""),
        ("una brandt", "", MAIL.upper()),
    ],
)
def test_by_contact(caller, phone, email):
    """However the number or the address was written."""
    una = known("Una Brandt", email=MAIL)
    assert call(caller, phone, email).customer == una


def test_another_name():
    """A shared phone is not enough when the name is another."""
    known("Una Brandt")
    assert call("Otis Rand").customer is None


def test_two_of_them():
    """Of two that it may be, none is taken by itself."""
    known("Una Brandt"), known("Brandt and Sons")
    assert call("").customer is None


def test_chosen_one_stays(clerk):
    """What somebody chose outlives every later word of the call, and the quote is theirs."""
    known("Una Brandt")
    otis = known("Otis Rand", "802 555 0199")
    request = call("Una Brandt")
    page = clerk.post(f"/requests/{request.pk}/customer/", {"customer": otis.pk}, follow=True)
    assert "is the call of Otis Rand" in page.text
    request.refresh_from_db()
    said = said_of(request)
    save_request(
        replace(said, caller="Una B."),
        by="ann", pk=request.pk, version=request.version,
    )  # fmt: skip
    request.refresh_from_db()
    assert (request.customer, request.caller) == (otis, "Una B.")
    assert begin_quotes(request.pk, "ann")[0].customer == otis


def test_none_chosen_goes_by_contact_again():
    """The choice can be taken back."""
    una, otis = known("Una Brandt"), known("Otis Rand", "802 555 0199")
    request = call("Una Brandt")
    choose_customer(request.pk, otis.pk, "ann")
    assert choose_customer(request.pk, None, "ann").customer == una


def test_quote_makes_the_link():
    """A caller nobody knew is known from their first quote on."""
    request = call("Una Brandt", email=MAIL)
    assert request.customer is None
    quote = begin_quotes(request.pk, "ann")[0]
    request.refresh_from_db()
    assert request.customer == quote.customer


def test_merged_customer():
    """The calls of a customer that went into another are the other's."""
    una, twin = known("Una Brandt"), known("U. Brandt", "802 555 0177")
    request = call("", "802 555 0177")
    merge_customers(una.pk, twin.pk, "ann")
    request.refresh_from_db()
    assert request.customer == una


def test_shown(clerk):
    """The request's page and the list name the customer and lead there."""
    una = known("Una Brandt")
    request = call("Una Brandt")
    for address in (f"/requests/{request.pk}/", "/requests/"):
        assert f'href="/customers/{una.pk}/"' in clerk.get(address).text


@pytest.mark.parametrize("phone", ["", "802 555 0131"])
def test_a_name_noted_later_is_the_customers(phone, clerk):
    """Quoted before anybody asked: the clerk is told so, and the name typed later is on the quote, too."""
    request = call("", phone)
    page = clerk.post(f"/requests/{request.pk}/quote/", follow=True)
    unnamed = Customer.objects.get()
    assert f"the quote says “{unnamed.name}” until the request has it" in page.text
    for words in ({"note": "Ring twice"}, {}):
        request.refresh_from_db()
        said = replace(said_of(request), **words)
        save_request(said, by="ann", pk=request.pk, version=request.version)
    request.refresh_from_db()
    said = replace(said_of(request), caller="Gil Ormond", email="gil@ormond.example")
    saved = save_request(said, by="ann", pk=request.pk, version=request.version)
    named = Customer.objects.get()
    assert (named.pk, named.name, saved.customer) == (unnamed.pk, "Gil Ormond", named)
    contact = named.contacts.get()
    assert (contact.name, contact.phone, contact.email) == ("Gil Ormond", phone, said.email)
    page = clerk.post(f"/requests/{request.pk}/quote/", follow=True)
    assert "Gil Ormond" in page.text and "until the request has it" not in page.text


def test_a_customers_own_name_outlives_the_calls(clerk):
    """Whoever has a name keeps it, whatever the next caller is called."""
    una = known("Una Brandt")
    request = call("")
    begin_quotes(request.pk, "ann")
    said = replace(said_of(request), caller="Otis Rand")
    save_request(said, by="ann", pk=request.pk, version=request.version)
    una.refresh_from_db()
    assert una.name == "Una Brandt"
