"""Rows named by their keys are asked for as one value on either engine, however many they are."""

import pytest
from django.db import connection
from django.db.models import Q
from django.test.utils import CaptureQueriesContext

from quotes.lists.quotes import find_quotes
from quotes.models import Customer, Quote
from quotes.searched import either

pytestmark = pytest.mark.django_db


@pytest.fixture
def three():
    return [Customer.objects.create(name=name) for name in ("Ada Lorne", "Otis Rand", "Una Brandt")]


def test_a_thousand_keys(three):
    """Of many keys those that are there are found, in one query."""
    with CaptureQueriesContext(connection) as asked:
        found = set(Customer.objects.filter(pk__among=range(three[1].pk, three[1].pk + 1000)))
    assert found == set(three[1:])
    assert len(asked) == 1


def test_no_key_finds_nothing_and_asks_nothing(three, django_assert_num_queries):
    with django_assert_num_queries(0):
        assert list(Customer.objects.filter(either([set(), set()]))) == []
        assert list(Customer.objects.filter(either([]))) == []


@pytest.mark.parametrize("ways", [
    lambda a, b, c: [{a}, {b}],
    lambda a, b, c: [{a}, Q(name="Otis Rand")],
    lambda a, b, c: [Q(name="Ada Lorne"), Q(name="Otis Rand")],
    lambda a, b, c: [Q(name="Ada Lorne"), set(), {b}],
])  # fmt: skip
def test_keys_and_questions_add_up(three, ways):
    """Whatever is known by its key and whatever is asked of each row come together."""
    keys = [customer.pk for customer in three]
    assert set(Customer.objects.filter(either(ways(*keys)))) == set(three[:2])


def test_whoever_has_no_quote_is_passed_over(three):
    """Of two customers with the word only one has a quote."""
    Customer.objects.create(name="Ada Brandt", scraps="ada brandt")
    una = Customer.objects.create(name="Una Brandt", scraps="una brandt")
    quote = Quote.objects.create(customer=una, currency="USD")
    assert list(find_quotes("brandt").every()) == [quote]
