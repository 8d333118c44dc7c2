"""A caller whom nothing tells for certain is asked about before anything is priced."""

import pytest
from django.urls import reverse

from quotes.desk.people import save_customer
from quotes.models import Contact, Customer, Quote
from tests.quotes import shop

pytestmark = pytest.mark.usefixtures("built")


def build():
    shop.set_up()


@pytest.fixture
def regular() -> Customer:
    contact = Contact(name="Odile Farrant", phone="802 555 0160", email="odile@farrant.example")
    return save_customer(Customer(name="Farrant Carpentry", terms="trade"), [contact])


def call(caller="Odile", phone="(802) 555-0160", email=""):
    return shop.take_request(shop.part_opening(), caller=caller, phone=phone, email=email)


def quote(clerk, request):
    posted = {"do": "quote", "version": request.version}
    return clerk.post(reverse("quote-from-request", args=[request.pk]), posted, follow=True)


def test_the_page_names_who_it_may_be(clerk, regular):
    """By the phone though the name is said otherwise, and by nearly the name alone."""
    page = clerk.get(reverse("request", args=[call().pk])).content.decode()
    assert "May be" in page and "Farrant Carpentry" in page and "(same phone)" in page
    by_name = call(caller="Farant Carpentry", phone="")
    page = clerk.get(reverse("request", args=[by_name.pk])).content.decode()
    assert "(nearly the same name)" in page


def test_one_who_is_known_is_named_with_the_terms(clerk, regular):
    page = clerk.get(reverse("request", args=[call("Odile Farrant").pk])).content.decode()
    assert "May be" not in page and "</a>, trade" in page


def test_a_quote_waits_for_whose_call_it_is(clerk, regular):
    """Told that it is theirs, the quote is begun at their terms, and no double is made."""
    request = call()
    asked = quote(clerk, request)
    assert "Say first whose call it is" in asked.content.decode()
    assert not Quote.objects.exists()
    (where, _status) = asked.redirect_chain[-1]
    clerk.post(where, {"customer": str(regular.pk)})
    assert Quote.objects.get().customer == regular
    assert Customer.objects.count() == 1


def test_somebody_new_becomes_a_customer(clerk, regular):
    request = call()
    (where, _status) = quote(clerk, request).redirect_chain[-1]
    clerk.post(where, {"customer": "new"})
    made = Quote.objects.get().customer
    assert (made.name, made.terms) == ("Odile", "")
    request.refresh_from_db()
    assert request.customer == made and request.customer_chosen_by == "mira"


def test_nobody_is_asked_about_a_stranger(clerk, regular):
    quote(clerk, call("Bertil Ash", "802 555 0999"))
    assert Quote.objects.get().customer.name == "Bertil Ash"
