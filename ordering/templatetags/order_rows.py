"""For pages that know nothing of orders: {% orders_of customer as orders %}, the newest few of a customer's,
{% order_page quote as page %}, where a customer sees what became of a quote, {% ordered_beside issue as lately %},
what its customer has ordered of it already, and {% open_with revision as held %}, what stands open with its parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import template
from django.db.models import QuerySet

from ordering.links import page_of
from ordering.lists.finding import orders_of_customer
from ordering.lists.lately import Lately, ordered_beside_quote
from ordering.lists.orders import open_with_parts_of
from ordering.lists.pages import ORDERS
from ordering.models import Order
from quotes.lists import quotes
from quotes.models import Customer, Issue, Quote
from sizing.lists import Shown
from sizing.models import Revision

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


# So many are named, and so many where all are asked for; of more the count tells.
MOST_NAMED, MOST_OF_ALL = 10, 1000


@dataclass(frozen=True)
class Held:
    """Quotes or orders: how many, and the newest of them."""

    count: int
    newest: list[Any]

    @classmethod
    def of(cls, found: QuerySet, most: int) -> Held:
        newest = list(found[: most + 1])
        count = found.count() if len(newest) > most else len(newest)
        return cls(count, newest[:most])

    @property
    def more(self) -> int:
        return self.count - len(self.newest)


@register.simple_tag
def open_with(revision: Revision, how_many: str = "") -> dict[str, Held]:
    """The open quotes and orders with parts of one edition of a size table; `how_many` is "all" for all of them."""
    most = MOST_OF_ALL if how_many == "all" else MOST_NAMED
    return {
        "quotes": Held.of(quotes.open_with_parts_of(revision.pk), most),
        "orders": Held.of(open_with_parts_of(revision.pk), most),
    }
