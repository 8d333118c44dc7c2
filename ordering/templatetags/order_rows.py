"""For pages that know nothing of orders: {% orders_of customer as orders %}, the newest few of a customer's,
{% order_page quote as page %}, where a customer sees what became of a quote, and {% ordered_beside issue as lately %},
what its customer has ordered of it already."""

from django import template

from ordering.links import page_of
from ordering.lists.finding import orders_of_customer
from ordering.lists.lately import Lately, ordered_beside_quote
from ordering.lists.pages import ORDERS
from ordering.models import Order
from quotes.models import Customer, Issue, Quote
from sizing.lists import Shown

register = template.Library()
THEIRS = ORDERS.newest("Customer", "Town")


@register.simple_tag
def orders_of(customer: Customer) -> Shown:
    """As a list's own page takes them, the open ones first; asked of the database when the page shows them."""
    return Shown(THEIRS, orders_of_customer(customer.pk))


@register.simple_tag
def order_page(quote: Quote) -> str:
    """The customer's page of the order that was made of a quote; "" if there is none yet."""
    order = Order.objects.filter(acceptance__quote=quote).first()
    return page_of(order) if order else ""


@register.simple_tag
def ordered_beside(issue: Issue) -> list[Lately]:
    """The customer's open orders of the last days with a part of the issue."""
    return ordered_beside_quote(issue)
