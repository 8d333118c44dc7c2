"""Pieces that came out wrong are made again as a new line, with the cause kept."""

from datetime import date

import pytest
from django.utils import timezone

from ordering.events import make_again, send_to_factories, shipped
from ordering.judged import judge_all
from ordering.lists.record import record
from ordering.states import Cause, NotAllowed
from tests.ordering.placed import CLERK, FACTORY, load_shop, sent_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def line():
    load_shop()
    order, sent = sent_order()
    line = order.lines.get()
    shipped(sent.pk, {line.pk: 2}, timezone.localdate(), FACTORY)
    line.refresh_from_db()
    return line


def test_a_new_line_of_the_same_part(line):
    """The new line has the part, no price, its cause, and can be sent like any other."""
    new = make_again(line.pk, 1, Cause.CALLER, "measured the visible glass", CLERK)
    assert (new.number, new.part, new.quantity, new.unit_price) == (2, line.part, 1, None)
    assert (new.remake_of, new.cause, new.step) == (line, "caller", "placed")
    assert send_to_factories([new.pk], CLERK)[0].lines.get() == new


def test_no_more_than_were_made(line):
    """Three can't be made again when two have left."""
    with pytest.raises(NotAllowed, match="2 have been made"):
        make_again(line.pk, 3, Cause.FACTORY, "bent", CLERK)
    assert line.order.lines.count() == 1


def test_the_record_counts_causes(line):
    """The desk's record counts what was made again by family and cause."""
    make_again(line.pk, 1, Cause.CARRIER, "crushed", CLERK)
    make_again(line.pk, 1, Cause.CARRIER, "crushed", CLERK)
    judge_all(date.today())
    assert record().remakes == [("Otter Hollow jamb liner", "Lost or broken by the carrier", 2)]
