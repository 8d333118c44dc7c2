"""Before the first size table each role's first page says what is missing, and who mends it."""

import pytest
from django.test import Client

from tests.ordering.placed import load_shop, user

pytestmark = pytest.mark.django_db
SAID = "No size table is in force yet"


def page_of(role: str, address: str = "/") -> str:
    client = Client()
    client.force_login(user(f"{role}-kay", role))
    return client.get(address).text


@pytest.mark.parametrize("address", ["/", "/counter/"])
@pytest.mark.parametrize(
    ("role", "leads"),
    [
        ("owner", '<a href="/set-up/begin/">'),
        ("manager", '<a href="/tables/#bring">'),
        ("counter", "A manager brings in the first workbook."),
    ],
)
def test_said_with_the_way_out(role, leads, address):
    """Owner, manager and counter are each led to what they may do."""
    page = page_of(role, address)
    assert SAID in page
    assert leads in page


def test_staff_answer_no_calls():
    """Who works with no size table is not told about it."""
    assert SAID not in page_of("staff")


def test_gone_with_the_first_table():
    """With a table in force nothing is said."""
    load_shop()
    assert SAID not in page_of("owner")
