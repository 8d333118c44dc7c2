"""A shop in which much has happened: quotes, orders by quote and by hand, dates, parcels, remakes."""

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from ordering import events
from ordering.events import HandLine, place_by_hand
from ordering.models import OrderLine
from ordering.states import Act, Cause
from quotes.models import Customer
from sizing.models import Part
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, placed_order, sent_order
from tests.quotes.shop import draft_quote, part_opening


def busy_shop() -> None:
    """Two orders in the works and one by hand, a draft, a cancelled line, a deposit, a remake."""
    load_shop()
    order, sent = sent_order(part_opening(quantity=4), hand=True)
    soon = timezone.localdate() + timedelta(days=20)
    lines = list(sent.lines.all())
    events.give_dates(sent.pk, {line.pk: soon for line in lines}, FACTORY)
    events.give_dates(
        sent.pk,
        {line.pk: soon + timedelta(days=9) for line in lines},
        FACTORY,
        "No slate this week.",
    )
    events.shipped(sent.pk, {lines[0].pk: 3}, timezone.localdate(), FACTORY)
    events.write(order.pk, Act.ARRIVED, {1: 2}, CLERK)
    events.take_deposit(order.pk, Decimal("25.00"), "card", CLERK)
    events.make_again(lines[0].pk, 1, Cause.CARRIER, "Split on the way.", MANAGER, tells=False)
    other = placed_order(caller="Ida Lorne", email="ida@lorne.example")
    events.write(other.pk, Act.CANCELLED, {1: 3}, MANAGER, why="Sold the house.")
    part = Part.objects.exclude(part_number="").exclude(price=None).first()
    customer = Customer.objects.order_by("pk").first()
    place_by_hand(customer.pk, [HandLine(part.part_number, "", 2)], CLERK)
    draft_quote(caller="Tam Oak", email="tam@oak.example")
    assert OrderLine.objects.count() >= 5
