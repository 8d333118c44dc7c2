"""The shop's own unit and country are what a new customer begins with."""

import pytest

from quotes.desk.people import customer_for, save_customer
from quotes.desk.shop import keep_shop
from quotes.models import Contact, Customer
from tests.quotes.first_run import TYPED
from tests.quotes.shop import take_request

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def metric_shop(client):
    client.post(
        "/set-up/", TYPED | {"country": "FR", "region": "", "unit": "mm", "currency": "EUR"}
    )


def test_of_a_request():
    """A caller who becomes a customer measures as the shop does, and is dialled in its country."""
    made = customer_for(take_request(phone="01 42 68 53 00", email=""))
    assert made.unit == "mm"
    assert made.contacts.get().dialled == "+33142685300"


def test_found_again():
    """The same number as it is dialled in the shop's country finds the customer again."""
    made = customer_for(take_request(phone="01 42 68 53 00", email=""))
    assert customer_for(take_request(phone="+33 1 42 68 53 00", email="")) == made


def test_new_page(client):
    """The blank page of a customer has the shop's unit and country filled in, and keeps no empty address."""
    page = client.get("/customers/new/").content.decode()
    assert '<option value="mm" selected>' in page
    assert '<option value="FR" selected>France</option>' in page


def test_what_is_said_counts():
    """An own country of the customer's stays, whatever the shop's is."""
    keep_shop({"country": "US"})
    made = save_customer(Customer(name="Ida"), [Contact(phone="802 555 0117")])
    assert made.contacts.get().dialled == "+18025550117"
