"""A customer wants fewer: a part of a line is cancelled, and everybody reads the count that is left."""

import re
from datetime import timedelta
from importlib import import_module

import pytest
from django.apps import apps
from django.urls import reverse
from django.utils import timezone

from ordering.documents.factory_order import paper_of
from ordering.events import cancel, give_dates, send_to_factories, shipped, take_back, write
from ordering.links import page_of, page_of_factory
from ordering.logged import state_of
from ordering.models import Notice, OrderLine
from ordering.states import Act, NotAllowed, Step
from ordering.verifying import findings
from tests.ordering.cancelling import press
from tests.ordering.placed import (
    CLERK,
    FACTORY,
    MANAGER,
    load_shop,
    placed_order,
    sent_order,
    user,
)
from tests.quotes.shop import cottage_opening, part_opening

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()


def test_two_of_five(client):
    """Customer and factory are told how many and what stays; page, paper and link show three."""
    order, sent = sent_order(part_opening(quantity=5))
    assert press(client, order, 1, **{"count-1": "2"}).status_code == 302
    line = state_of(order).lines[1]
    assert (line.going, line.cancelled, line.step) == (3, 2, Step.SENT)
    for notice in Notice.objects.filter(kind__in=["cancelled", "stopped"]):
        assert "- 2 pairs of " in notice.body and "(the other 3 stay as ordered)" in notice.body
    assert [row.quantity for row in paper_of(sent).rows] == [3]
    factory = client.get("/" + page_of_factory(sent).split("/", 3)[3]).content.decode()
    assert "2 cancelled: please make no more than 3" in factory
    page = client.get("/" + page_of(order).split("/", 3)[3]).content.decode()
    assert "1. 3 pairs of " in page and "2 more were cancelled." in page
    assert list(findings()) == []


def test_what_is_told_afterwards_counts_what_is_left():
    """A date given later is for three, and three complete the line."""
    order, sent = sent_order(part_opening(quantity=5))
    cancel(order.pk, [1], "fewer", CLERK, tells=False, counts={1: 2})
    (line,) = sent.lines.all()
    give_dates(sent.pk, {line.pk: timezone.localdate() + timedelta(30)}, FACTORY)
    assert "3 pairs of " in Notice.objects.get(kind="confirmed").body
    shipped(sent.pk, {line.pk: 3}, timezone.localdate(), FACTORY)
    assert state_of(order).lines[1].step is Step.LEFT
    assert list(findings()) == []


def test_before_it_is_sent(client):
    """A line that waits here goes to its factory with what is left."""
    order = placed_order(part_opening(quantity=5))
    press(client, order, 1, **{"count-1": "4"})
    assert "1 pair, <strong>" in client.get(reverse("send-to-factories")).content.decode()
    (sent,) = send_to_factories([order.lines.get().pk], CLERK)
    assert "- 1 pair of " in Notice.objects.get(kind="factory").body
    assert [row.quantity for row in paper_of(sent).rows] == [1]


@pytest.mark.parametrize(
    ("count", "words"),
    [
        ("0", "type 1 to 5"),
        ("", "type 1 to 5"),
        ("6", "type 1 to 5"),
        ("two", "is no whole number"),
    ],
)
def test_no_such_count(client, count, words):
    """Refused in a sentence with what was typed in its box; nothing is written."""
    order, _ = sent_order(part_opening(quantity=5))
    answer = press(client, order, 1, **{"count-1": count})
    page = answer.content.decode()
    assert (answer.status_code, words in page) == (422, True)
    assert f'max="5" value="{count}"' in page
    assert state_of(order).lines[1].cancelled == 0


def test_taken_back():
    """By mistake: all five are wanted again."""
    order, sent = sent_order(part_opening(quantity=5))
    wrong = cancel(order.pk, [1], "fewer", CLERK, tells=True, counts={1: 2})
    take_back(order.pk, wrong.number, "the wrong order", CLERK)
    assert (order.lines.get().going, [row.quantity for row in paper_of(sent).rows]) == (5, [5])
    assert "- 2 pairs of " in Notice.objects.get(kind="resumed").body
    assert list(findings()) == []


def test_twice_and_no_more():
    """Two, then two more; of the last one three cannot be."""
    order, _ = sent_order(part_opening(quantity=5))
    for _ in range(2):
        cancel(order.pk, [1], "fewer", CLERK, tells=False, counts={1: 2})
    with pytest.raises(NotAllowed, match="type 1 to 1"):
        cancel(order.pk, [1], "fewer", CLERK, tells=False, counts={1: 3})
    assert order.lines.get().going == 1


def test_lines_of_before_are_counted_by_their_logs():
    """The upgrade finds what was cancelled: whole, after a part had left, and taken back."""
    whole, _ = sent_order(part_opening(quantity=2))
    part, _ = sent_order(part_opening(quantity=5))
    back, _ = sent_order(part_opening(quantity=4))
    write(whole.pk, Act.CANCELLED, {1: 2}, CLERK, why="no need")
    write(part.pk, Act.LEFT, {1: 2}, FACTORY)
    write(part.pk, Act.CANCELLED, {1: 5}, MANAGER, why="no need", data={"no_return": True})
    wrong = write(back.pk, Act.CANCELLED, {1: 4}, CLERK, why="no need")
    take_back(back.pk, wrong.number, "the wrong order", CLERK)
    OrderLine.objects.update(cancelled=0)
    import_module("ordering.migrations.0011_part_of_a_line_cancelled").count_cancelled(apps, None)
    assert [order.lines.get().cancelled for order in (whole, part, back)] == [2, 3, 0]
    assert list(findings()) == []


def test_of_several_lines_none_is_ticked_unasked(client):
    """Two of the first line are cancelled, and the second stays; what was cancelled is said."""
    order = placed_order(part_opening(quantity=5), cottage_opening())
    client.force_login(user())
    page = client.get(reverse("order", args=[order.pk])).content.decode()
    boxes = re.findall(r'<input type="checkbox" name="line"[^>]*>', page)
    assert len(boxes) == 2 and not any("checked" in box for box in boxes)
    answer = press(client, order, 1, **{"count-1": "2"})
    assert "Cancelled: 2 of line 1." in client.get(answer.url).content.decode()
    assert state_of(order).lines[2].cancelled == 0


def test_the_only_line_is_ticked(client):
    order = placed_order(part_opening(quantity=5))
    client.force_login(user())
    page = client.get(reverse("order", args=[order.pk])).content.decode()
    (box,) = re.findall(r'<input type="checkbox" name="line"[^>]*>', page)
    assert "checked" in box
