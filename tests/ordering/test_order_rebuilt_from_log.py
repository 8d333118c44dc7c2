"""The log is the truth: every copy of a state can be thrown away and made again from it."""

import random
from datetime import timedelta

import pytest
from django.utils import timezone

from ordering.events import copy_state, give_dates, shipped, write
from ordering.logged import state_of
from ordering.models import Order, OrderLine
from ordering.states import Act, NotAllowed
from tests.ordering.placed import FACTORY, MANAGER, load_shop, sent_order
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = pytest.mark.django_db

COPIED = (
    "step", "is_open", "version", "sent_on", "left_on", "promised_on",
    "refused_on", "told_earliest", "told_likely", "told_latest",
)  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_copies_equal_the_log(seed):
    """After a random life of three orders the stored lines equal what their events make of them."""
    load_shop()
    draw = random.Random(seed)
    orders = [sent_order(part_opening(quantity=4), cottage_opening(), hand=True) for _ in range(3)]
    today = timezone.localdate()
    for _ in range(25):
        order, sent = draw.choice(orders)
        line = draw.choice(list(order.lines.all()))
        act = draw.choice(
            [
                Act.MAKING,
                Act.REFUSED,
                Act.ARRIVED,
                Act.HANDED,
                Act.HELD,
                Act.RELEASED,
                Act.CANCELLED,
            ]
        )
        day = today + timedelta(draw.randint(5, 60))
        try:
            if draw.random() < 0.25:
                give_dates(sent.pk, {line.pk: day}, FACTORY, "moved")
            elif draw.random() < 0.4:
                shipped(sent.pk, {line.pk: draw.randint(1, 3)}, today, FACTORY)
            else:
                write(
                    order.pk, act, {line.number: draw.randint(1, 2)}, MANAGER,
                    why="why", data={"no_return": True},
                )  # fmt: skip
        except NotAllowed:
            continue
    for line in OrderLine.objects.all():
        fresh = OrderLine()
        copy_state(fresh, state_of(line.order).lines[line.number])
        assert [getattr(line, n) for n in COPIED] == [getattr(fresh, n) for n in COPIED], line
    for order in Order.objects.all():
        state = state_of(order)
        assert (order.version, order.is_open) == (state.version, state.is_open)
        assert order.version == order.events.count()
