"""Who took, issued or wrote something is shown by their own name, not by the name they sign in with."""

import pytest

from tests.quotes import shop
from tests.quotes.conftest import clerk_named

pytestmark = pytest.mark.django_db


@pytest.fixture
def taken(db):
    ann = clerk_named("ann")
    ann.first_name, ann.last_name = "Annabel", "Finch"
    ann.save()
    shop.load_liner()
    return shop.issued_quote().quote


@pytest.mark.parametrize("page", ["request", "requests", "quote", "quotes", "customer"])
def test_named(taken, clerk, page):
    """On the page of one and in the list of many."""
    address = {
        "request": f"/requests/{taken.request_id}/",
        "requests": "/requests/",
        "quote": f"/quotes/{taken.pk}/",
        "quotes": "/quotes/",
        "customer": f"/customers/{taken.customer_id}/",
    }[page]
    assert "Annabel Finch" in clerk.get(address).text


def test_somebody_who_is_gone(taken, clerk, django_user_model):
    """A person without a name of their own, or no person at all, is shown as kept."""
    django_user_model.objects.filter(username="ann").update(first_name="", last_name="")
    assert ">ann<" in clerk.get("/requests/").text
