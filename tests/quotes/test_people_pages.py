"""The customer pages."""

import pytest
from django.urls import reverse

from quotes.desk.people import save_customer
from quotes.models import Contact, Customer

pytestmark = pytest.mark.django_db


def fields(**more):
    """A new customer's form as the browser sends it."""
    data = {
        "name": "Ida Wren", "kind": "homeowner", "terms": "", "unit": "in", "channel": "email",
        "language": "en", "exemption_number": "", "exemption_expires": "", "note": "",
    }  # fmt: skip
    for rows in ("contact", "address"):
        data |= {f"{rows}-TOTAL_FORMS": "1", f"{rows}-INITIAL_FORMS": "0"}
    data |= {"contact-0-name": "Ida", "contact-0-phone": "802 555 0133", "contact-0-email": ""}
    data |= {"address-0-town": "Larkford", "address-0-region": "vt", "address-0-country": "us"}
    return data | more


def test_a_new_customer_with_contact_and_address(clerk):
    """One form, one press: the customer, the contact with its number read, the address."""
    clerk.post(reverse("customer-new"), fields())
    customer = Customer.objects.get()
    assert customer.contacts.get().dialled == "+18025550133"
    assert str(customer.addresses.get()) == "Larkford, VT, US"


@pytest.mark.parametrize(("typed", "code"), [("Germany", "DE"), ("de", "DE"), ("Georgia", "GE")])
def test_an_addresss_country_is_chosen_from_the_list(clerk, typed, code):
    """The same list as for the shop; a name that is sent is understood whole."""
    page = clerk.get(reverse("customer-new")).content.decode()
    assert '<option value="DE">Germany</option>' in page
    place = {"address-0-country": typed, "address-0-region": ""}
    clerk.post(reverse("customer-new"), fields(**place))
    assert Customer.objects.get().addresses.get().country == code


def test_problems_keep_what_was_typed(clerk):
    """No name and a bad e-mail: both are named, everything typed comes back, nothing is stored."""
    page = clerk.post(reverse("customer-new"), fields(name="", **{"contact-0-email": "ida@"}))
    html = page.content.decode()
    assert page.status_code == 422
    assert "Type the customer&#x27;s name." in html
    assert "This is no e-mail address" in html
    assert 'value="802 555 0133"' in html
    assert not Customer.objects.exists()


def test_doubles_are_offered_and_merged(clerk):
    """The page offers the double, shows both, and merges them on a press."""
    one = save_customer(Customer(name="Ida Wren"), [Contact(phone="802 555 0133")])
    two = save_customer(Customer(name="I. Wren"), [Contact(phone="8025550133")])
    page = clerk.get(reverse("customer", args=[one.pk]))
    address = reverse("customer-double", args=[one.pk, two.pk])
    assert address in page.content.decode()
    assert "Merge them" in clerk.get(address).content.decode()
    clerk.post(reverse("customer-merge", args=[one.pk, two.pk]))
    page = clerk.get(reverse("customer", args=[two.pk]))
    assert page.url == reverse("customer", args=[one.pk])


def test_an_empty_note_of_nothing_is_listed(clerk):
    """A scrap that fits nobody says what to try."""
    page = clerk.get(reverse("customers"), {"q": "nobody"})
    assert "Try less of it" in page.content.decode()


def test_a_state_by_its_name(clerk):
    """Tax is found by the state's letters, so its name is read as them, and what is no state is refused."""
    page = clerk.post(reverse("customer-new"), fields(**{"address-0-region": "PEN"}))
    assert "“PEN” is no part of US" in page.content.decode()
    clerk.post(reverse("customer-new"), fields(**{"address-0-region": "Pennsylvania"}))
    assert Customer.objects.get().addresses.get().region == "PA"
