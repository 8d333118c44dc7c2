"""A customer's page begins a call of theirs: the counter knows who calls, and the call is theirs once it is saved."""

import re

import pytest

from quotes.desk.people import merge_customers, save_customer
from quotes.models import Contact, Customer, Request
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.load_liner()


def box(page, name):
    return re.search(rf'name="{name}"[^>]* value="([^"]*)"', page)


def test_the_page_leads_to_a_call_of_theirs(clerk):
    """One press from their page; caller, phone, e-mail and language stand there, nothing is written yet."""
    contact = Contact(name="Lise Dupré", phone="(802) 555-0166", email="lise@dupre.example")
    customer = save_customer(Customer(name="Dupré Homes", language="es"), [contact])
    address = f"/counter/?customer={customer.pk}"
    assert address in clerk.get(f"/customers/{customer.pk}/").text
    page = clerk.get(address).text
    said = [box(page, name)[1] for name in ("caller", "phone", "email")]
    assert said == ["Lise Dupré", "(802) 555-0166", "lise@dupre.example"]
    assert '<option value="es" selected>' in page
    assert not Request.objects.exists()


def test_saved_it_is_theirs(clerk):
    """The page as it stands, saved with a note, is a call of this customer's."""
    contact = Contact(name="Lise Dupré", phone="(802) 555-0166", email="lise@dupre.example")
    customer = save_customer(Customer(name="Dupré Homes"), [contact])
    page = clerk.get(f"/counter/?customer={customer.pk}").text
    said = {name: box(page, name)[1] for name in ("caller", "phone", "email", "page")}
    clerk.post(
        "/counter/", said | {"version": "0", "openings": "", "note": "two more", "do": "save"}
    )
    assert Request.objects.get().customer == customer


def test_without_a_contact_the_name_stands_there(clerk):
    """A customer of whom nothing but the name is known."""
    customer = save_customer(Customer(name="Dupré Homes"), [])
    assert box(clerk.get(f"/counter/?customer={customer.pk}").text, "caller")[1] == "Dupré Homes"


@pytest.mark.parametrize("asked", ["", "x", "99999", "1" * 40])
def test_nobody_is_an_empty_page(clerk, asked):
    """What names no customer begins a call as ever."""
    assert box(clerk.get(f"/counter/?customer={asked}").text, "caller") is None


def test_one_that_was_merged_begins_nobodys(clerk):
    """What is left of a customer that was put into another leads nowhere."""
    kept, gone = (save_customer(Customer(name=name), []) for name in ("Dupré", "Dupre"))
    merge_customers(kept.pk, gone.pk, "max")
    assert box(clerk.get(f"/counter/?customer={gone.pk}").text, "caller") is None
