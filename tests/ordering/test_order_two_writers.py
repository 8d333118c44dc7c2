"""Two people on one line: the later one is told, and nothing of theirs is written."""

import pytest
from django.urls import reverse

from ordering.events import StaleError, write
from ordering.states import Act
from tests.ordering.placed import CLERK, MANAGER, load_shop, sent_order, user

pytestmark = pytest.mark.usefixtures("built")


def build():
    load_shop()
    return sent_order(hand=True)[0]


@pytest.fixture
def order(built):
    return built


def test_the_later_is_told_who_and_what(order):
    """The sentence names who changed the line, to what and when."""
    seen = order.lines.first().version
    write(order.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    with pytest.raises(StaleError, match="Line 1 was changed meanwhile: put on hold, by ann at"):
        write(order.pk, Act.MAKING, {1: 3}, MANAGER, seen={1: seen})
    assert order.events.count() == 3


def test_another_line_is_no_matter(order):
    """Somebody on another line of the order disturbs nobody."""
    seen = order.lines.get(number=2).version
    write(order.pk, Act.HELD, {1: 3}, CLERK, why="paint")
    write(order.pk, Act.ARRIVED, {2: 2}, MANAGER, seen={2: seen})
    assert order.lines.get(number=2).step == "dock"


def test_the_page_says_so(client, order):
    """A page opened before the other's change answers 409 with the sentence and writes nothing."""
    client.force_login(user())
    seen = order.lines.first().version
    write(order.pk, Act.HELD, {1: 3}, MANAGER, why="paint")
    address = reverse("order-line", args=[order.pk, 1])
    answer = client.post(address, {"act": "left", "count": 1, "version": seen})
    assert answer.status_code == 409
    assert "was changed meanwhile: put on hold, by max" in answer.content.decode()
    assert order.events.count() == 3
