"""A name typed a letter off is offered as it is written, wherever it was looked for in vain."""

import pytest
from django.urls import reverse

from quotes.desk.people import save_customer
from quotes.lists.people import nearly
from quotes.models import Contact, Customer

pytestmark = pytest.mark.django_db


@pytest.fixture
def farrant() -> Customer:
    contact = Contact(name="Odile Brandquist", phone="802 555 0160")
    return save_customer(Customer(name="Farrant Carpentry"), [contact])


@pytest.mark.parametrize(
    ("scrap", "found"),
    [("Farant", True), ("Farrnt", True), ("Carpntry", True), ("farrant carpentri", True), ("Odile Brandqist", True), ("Ferris", False),
     ("Farant Masonry", False), ("5550160", False), ("", False)],
)  # fmt: skip
def test_every_word_is_nearly_one_of_theirs(farrant, scrap, found):
    assert nearly(scrap) == ([farrant] if found else [])


@pytest.mark.parametrize("page", ["customers", "when", "orders"])
def test_pages_offer_it_where_nothing_is_found(clerk, farrant, page):
    shown = clerk.get(reverse(page), {"q": "Farant"}).content.decode()
    assert "Nearly so" in shown and "Farrant Carpentry" in shown
    assert "Nearly so" not in clerk.get(reverse(page), {"q": "Umbertine"}).content.decode()
