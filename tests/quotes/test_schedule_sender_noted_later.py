"""Who sent a schedule can be said after it was brought in: its request and its quote are theirs from then on."""

import pytest

from quotes.desk.people import save_customer
from quotes.desk.quoting import begin_quotes
from quotes.desk.schedules import make_request, take_in
from quotes.models import Contact, Customer
from tests.quotes import shop
from tests.quotes.sheets import GOOD, HEADINGS, grid

SENDER = {
    "caller": "Alder Court Works",
    "phone": "802 555 0160",
    "email": "office@aldercourt.example",
}


@pytest.fixture
def schedule(liner):
    """Brought in with the phone at the ear: nobody had said who sends it."""
    return take_in(grid(HEADINGS, GOOD), "s.xlsx", liner, by="ann")


def address(schedule):
    return f"/schedules/{schedule.pk}/sender/"


def test_before_it_is_a_request(schedule, clerk):
    """Its page has the boxes, and the request made of it has its caller."""
    assert address(schedule) in clerk.get(f"/schedules/{schedule.pk}/").content.decode()
    clerk.post(address(schedule), SENDER)
    request = make_request(schedule.pk, by="ann")
    assert (request.caller, request.phone, request.email) == tuple(SENDER.values())
    assert "Alder Court Works" in clerk.get("/schedules/?q=alder").content.decode()


def test_after_its_quote_was_begun(schedule, clerk):
    """The quote of a caller without a name is theirs, and the request is found by it."""
    shop.load_prices()
    request = make_request(schedule.pk, by="ann")
    (draft,) = begin_quotes(request.pk, "ann")
    assert draft.customer.name == f"Caller of request {request.pk}"
    clerk.post(address(schedule), SENDER)
    request.refresh_from_db()
    draft.customer.refresh_from_db()
    assert (request.caller, request.version) == ("Alder Court Works", 2)
    assert draft.customer.name == "Alder Court Works"
    assert draft.customer.contacts.get().email == SENDER["email"]
    assert "Alder Court Works" in clerk.get("/requests/?q=alder").content.decode()


def test_a_known_customer_has_their_terms(schedule, clerk):
    """Whose e-mail is known is the customer that it is of: prices hang on who it is."""
    office = Contact(name="Office", email=SENDER["email"])
    known = save_customer(Customer(name="Alder Court Works"), [office])
    request = make_request(schedule.pk, by="ann")
    clerk.post(address(schedule), SENDER)
    request.refresh_from_db()
    assert request.customer == known
    assert f"/customers/{known.pk}/" in clerk.get(f"/schedules/{schedule.pk}/").content.decode()


def test_a_wrong_address_is_given_back(schedule, clerk):
    """What was typed stays in its boxes beside the sentence, and nothing is stored."""
    answer = clerk.post(address(schedule), {**SENDER, "email": "office@"})
    page = answer.content.decode()
    assert answer.status_code == 422 and 'value="office@"' in page and "Alder Court Works" in page
    schedule.refresh_from_db()
    assert schedule.caller == ""
