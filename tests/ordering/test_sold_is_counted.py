"""How many of each size were sold leans the resolver; the nightly publishing counts it."""

from datetime import timedelta

import pytest
from django.utils import timezone

from ordering.events import make_again, send_to_factories, shipped
from ordering.models import PastOrder
from ordering.publish import publish_windows
from ordering.states import Cause
from sizing.lookup import in_force
from sizing.models import Family, Part, Row
from sizing.tables import record_sold
from tests.ordering.placed import CLERK, FACTORY, load_shop, placed_order, sent_order

pytestmark = pytest.mark.usefixtures("built")
TODAY = timezone.localdate


def build():
    load_shop()


@pytest.fixture
def part() -> Part:
    return Part.objects.exclude(part_number="").order_by("id").first()


def past(part: Part, quantity: int, days_ago: int) -> None:
    placed = TODAY() - timedelta(days_ago)
    PastOrder.objects.create(
        reference=f"{days_ago}", family=part.revision.family, part_number=part.part_number,
        quantity=quantity, ordered_on=placed, shipped_on=placed,
    )  # fmt: skip


def sold(part: Part) -> int:
    return Row.objects.get(pk=part.row_id).sold


def test_past_orders_of_two_years_count(part):
    """Pieces of the last two years are counted, older ones are not."""
    past(part, 5, 30)
    past(part, 3, 700)
    past(part, 100, 800)
    publish_windows()
    assert sold(part) == 8
    assert Row.objects.exclude(pk=part.row_id).filter(sold__gt=0).count() == 0


@pytest.mark.parametrize("make", [placed_order, lambda: sent_order()[0]])
def test_own_orders_count_once(make):
    """An order of the shop's own counts from the day it is placed, and once when it is sent."""
    line = make().lines.get()
    publish_windows()
    assert sold(line.part) == line.quantity


def test_what_is_made_again_was_sold_once():
    """Neither while it waits to be sent nor as a past order of its own."""
    order, sent = sent_order()
    line = order.lines.get()
    shipped(sent.pk, {line.pk: 2}, TODAY(), FACTORY)
    new = make_again(line.pk, 2, Cause.FACTORY, "bent", CLERK, tells=False)
    publish_windows()
    assert sold(line.part) == line.quantity
    send_to_factories([new.pk], CLERK)
    publish_windows()
    assert sold(line.part) == line.quantity


def test_no_longer_sold(part):
    """A size that has not been sold for two years goes back to none."""
    past(part, 5, 30)
    publish_windows()
    PastOrder.objects.all().delete()
    publish_windows()
    assert sold(part) == 0


def test_nothing_else_changes_in_a_table_in_force(part):
    """The table in force keeps its fingerprint, and counts of unknown numbers are passed over."""
    family = Family.objects.get()
    before = in_force(family.code).digest
    assert record_sold(family, {part.part_number: 2, "no such number": 7}, TODAY()) == 1
    assert in_force(family.code).digest == before
    assert record_sold(family, {part.part_number: 2}, TODAY()) == 0
