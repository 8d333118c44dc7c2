"""Letters inside a word are found by the index of triples, on either engine, whatever happened to the row."""

import pytest
from django.db import connection

from quotes.desk.people import save_customer
from quotes.desk.requests import save_request
from quotes.lists.people import find_customers
from quotes.lists.requests import find_requests
from quotes.models import Contact, Customer
from quotes.said import SaidRequest
from quotes.triples import make_indexes


@pytest.fixture
def brandt(db) -> Customer:
    return save_customer(Customer(name="Una Brandt"), [Contact(phone="802 555 0172")])


@pytest.mark.parametrize("scrap", ["rand", "BRANDT", "a b", "5550172", 'un"a', "an%"])
def test_what_stands_inside_is_found_and_nothing_else(brandt, scrap):
    """A scrap is found as letters, never as a pattern or a query of the index's own."""
    found = list(find_customers(scrap))
    assert found == ([] if set(scrap) & set('"%') else [brandt])


@pytest.mark.parametrize(
    ("scrap", "found"),
    [("br", True), ("UN", True), ("55", False), ("80", True), ("an", False), ("na", False), ("un br", True), ("un an", False)],
)  # fmt: skip
def test_two_letters_begin_a_word(brandt, scrap, found):
    """Inside of words they stand in nearly every name; the longer word beside them is found anywhere as ever."""
    asked = save_request(SaidRequest("Una Brandt", "802 555 0172"), by="mira")
    assert list(find_customers(scrap)) == [brandt] * found
    assert list(find_requests(scrap)) == [asked] * found


def test_a_new_name_is_found_and_the_old_one_no_more(brandt):
    """The index follows the row."""
    brandt.name = "Una Lorne"
    save_customer(brandt)
    assert list(find_customers("lorn")) == [brandt]
    assert not find_customers("brand")


def test_an_index_that_was_lost_is_made_again(brandt):
    """As after a migration of SQLite, which rebuilds a table without its triggers."""
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL keeps its indexes through migrations")
    with connection.cursor() as cursor:
        for end in ("in", "out", "new"):
            cursor.execute(f"DROP TRIGGER quotes_customer_triples_{end}")
    save_customer(Customer(name="Otis Rand"), [])
    assert not find_customers("otis")
    make_indexes()
    assert find_customers("otis").get().name == "Otis Rand"
