"""Orders follow their customer into another one."""

import pytest

from ordering.lists.finding import find_orders
from quotes.desk.people import merge_customers, save_customer
from quotes.models import Contact, Customer
from tests.ordering.placed import load_shop, placed_order

pytestmark = pytest.mark.django_db


def test_found_under_the_name_that_stays():
    """After a merge, and a second one, the order is the last one's and is found by their name and phone."""
    load_shop()
    order = placed_order()
    second = save_customer(Customer(name="Quill and Sons"), [Contact(phone="802 555 0190")])
    third = save_customer(Customer(name="Larch Street Homes"), [Contact(phone="802 555 0191")])
    merge_customers(second.pk, order.customer_id, "ann")
    merge_customers(third.pk, second.pk, "ann")
    order.refresh_from_db()
    assert order.customer == third
    for scrap in ("larch", "802 555 0191", "802 555 0117", "quill"):
        assert list(find_orders(scrap).every()) == [order]
