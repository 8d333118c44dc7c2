"""Two people on one line: the later one is told, and nothing of theirs is written."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from ordering.events import BY_ITSELF, StaleError, answer, write
from ordering.states import Act
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, sent_order, user

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


def test_what_the_desk_works_out_is_in_nobodys_way(order):
    """A window that moved by night makes no page stale, the factory's neither; what somebody wrote before it does."""
    line = order.lines.first()
    to, seen = line.factory_order, line.version
    write(order.pk, Act.WINDOW, {1: 3}, BY_ITSELF)
    write(order.pk, Act.MAKING, {1: 3}, MANAGER, seen={1: seen})
    line.refresh_from_db()
    assert (line.step, line.version) == ("making", seen + 2)
    write(order.pk, Act.WINDOW, {1: 3}, BY_ITSELF)
    day = timezone.localdate() + timedelta(30)
    said = {"dates": {line.pk: day}, "counts": {}, "on": day, "seen": {line.pk: seen + 2}}
    answer(to.pk, FACTORY, **said)
    with pytest.raises(StaleError, match="it is being made now"):
        answer(to.pk, FACTORY, **said)
    with pytest.raises(StaleError, match="date confirmed, by"):
        write(order.pk, Act.HELD, {1: 3}, CLERK, why="paint", seen={1: seen})


def test_a_page_that_knows_more_than_the_log(order):
    """From before a copy was restored: what it saw is gone, and it is told what is last there."""
    seen = order.lines.first().version
    with pytest.raises(StaleError, match="Line 1 was changed meanwhile: sent to the factory, by"):
        write(order.pk, Act.MAKING, {1: 3}, MANAGER, seen={1: seen + 1})
