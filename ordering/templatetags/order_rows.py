"""For pages that know nothing of orders: {% orders_of customer as orders %}, the newest few of a customer's."""

from django import template

from ordering.lists.finding import orders_of_customer
from ordering.lists.pages import ORDERS
from quotes.models import Customer
from sizing.lists import Shown

register = template.Library()
THEIRS = ORDERS.newest("Customer", "Town")


@register.simple_tag
def orders_of(customer: Customer) -> Shown:
    """As a list's own page takes them, the open ones first; asked of the database when the page shows them."""
    return Shown(THEIRS, orders_of_customer(customer.pk))
