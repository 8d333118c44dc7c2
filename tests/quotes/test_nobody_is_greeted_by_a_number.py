"""A caller whose name nobody has typed is greeted without one, in quotes' letters and orders' notices alike."""

import pytest

from ordering.events import place_from_quote
from ordering.models import Notice
from quotes.desk.accepting import accept
from quotes.desk.posting import send_quote
from quotes.letters.addressed import addressee
from quotes.models import Customer
from tests.ordering.placed import CLERK, load_shop
from tests.quotes import shop


@pytest.mark.parametrize(
    "name", ["", "Caller of request 22", "ida@lorne.example", "(555) 010-0142", "+1 555 010 0142"]
)
def test_no_name(name):
    assert addressee(name) == "customer"


@pytest.mark.parametrize("name", ["Mara Quill", "Quill & Sons", "李", "Caller of requests 22 Ltd"])
def test_name(name):
    assert addressee(name) == name


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("language", "greeting"), [("en", "Dear customer,"), ("es", "Buen día, estimado cliente:")]
)
def test_greeted_without_a_name(language, greeting):
    """From the quote to the order, in the customer's language; the quote itself names the request."""
    load_shop()
    issue = shop.issued_quote(caller="", email="", phone="", language=language)
    assert issue.quote.customer.name == f"Caller of request {issue.quote.request_id}"
    Customer.objects.update(channel="email")
    letter = send_quote(issue.pk, "ida@lorne.example", "ann")
    accept(issue.pk, name="Ida", ticked=[sheet["name"] for sheet in issue.document["openings"]])
    place_from_quote(issue.quote_id, CLERK)
    letters = [letter, *issue.letters.exclude(pk=letter.pk), *Notice.objects.all()]
    assert len(letters) >= 2
    for one in letters:
        assert one.body.splitlines()[0] == greeting
