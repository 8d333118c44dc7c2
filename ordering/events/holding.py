"""Holds orders for whoever writes to them; `quotes.desk.holding` says what is held before what."""

from __future__ import annotations

from django.db.models import QuerySet

from ordering.fits import hold_pasts
from ordering.models import FactoryOrder, Order, OrderLine
from quotes.desk.holding import hold, hold_one


def hold_order(pk: int) -> Order:
    """An order, with its customer."""
    return hold_one(Order.objects.filter(pk=pk).select_related("customer"))


def hold_orders_of(lines: QuerySet[OrderLine]) -> None:
    """For one who writes to several orders: all that have these lines, and the pasts that learn from them."""
    found = list(lines.order_by().values_list("order", "family"))
    hold(Order.objects.filter(pk__in={order for order, _ in found}))
    hold_pasts(family for _, family in found if family)


def hold_factory_order(pk: int) -> FactoryOrder:
    """A factory order, with the orders that its lines are of."""
    hold_orders_of(OrderLine.objects.filter(factory_order=pk))
    return hold_one(FactoryOrder.objects.filter(pk=pk).select_related("factory"))
