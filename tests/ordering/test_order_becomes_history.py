"""What the shop orders itself is what its lead times learn from."""

from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from ordering.events import give_dates, shipped, take_back, write
from ordering.models import PastOrder
from ordering.states import Act
from tests.ordering.placed import FACTORY, MANAGER, load_shop, placed_order, sent_order

pytestmark = pytest.mark.usefixtures("built")
TODAY = timezone.localdate


def build():
    load_shop()


def past(order):
    return PastOrder.objects.get(reference=f"{order.number}/1")


def test_open_from_the_day_it_is_sent():
    """A line placed is no lead time yet; sent, it is an open one with the factory's promise."""
    placed_order()
    assert not PastOrder.objects.exists()
    order, sent = sent_order()
    assert (past(order).ordered_on, past(order).shipped_on) == (TODAY(), None)
    promised = TODAY() + timedelta(20)
    give_dates(sent.pk, {order.lines.get().pk: promised}, FACTORY)
    assert past(order).promised_on == promised


def test_an_older_list_taken_in_again(tmp_path, capsys):
    """The list of past orders, given out before it left and imported afterwards: what the desk knows stands."""
    order, sent = sent_order()
    family = past(order).family.code
    file = tmp_path / "past.csv"
    file.write_text(
        "reference,family,part_number,quantity,ordered_on,shipped_on,promised_on\n"
        f"{order.number}/1,{family},OLD-1,9,2026-01-05,,\nK-1,{family},OLD-1,9,2026-01-05,,\n"
    )
    shipped(sent.pk, {order.lines.get().pk: 1}, TODAY(), FACTORY)
    before = PastOrder.objects.filter(pk=past(order).pk).values().get()
    call_command("import_history", str(file), "--no-publish")
    said = capsys.readouterr().out
    assert "Orders read: 2; new: 1." in said
    assert "this desk's own orders: 1; what the desk knows of them stands." in said
    assert PastOrder.objects.filter(pk=past(order).pk).values().get() == before


def test_shipped_with_its_last_piece():
    """It is shipped on the day the last piece left; taken back, it is open again."""
    order, sent = sent_order()
    line = order.lines.get()
    shipped(sent.pk, {line.pk: 1}, TODAY(), FACTORY)
    assert past(order).shipped_on is None
    (last,) = shipped(sent.pk, {line.pk: 2}, TODAY(), FACTORY)
    assert past(order).shipped_on == TODAY()
    take_back(order.pk, last.number, "counted wrongly", MANAGER)
    assert past(order).shipped_on is None


def test_a_cancelled_one_never_was():
    """A line cancelled before anything left teaches nothing."""
    order, _ = sent_order()
    write(order.pk, Act.CANCELLED, {1: 3}, MANAGER, why="sold the house")
    assert not PastOrder.objects.exists()
