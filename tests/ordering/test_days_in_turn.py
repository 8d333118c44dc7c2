"""Nothing is dated before what had to happen first: pieces leave, come to the dock and are handed over."""

from datetime import date, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from ordering.events import shipped, write
from ordering.in_turn import check_days
from ordering.models import OrderLine
from ordering.replay import replay
from ordering.states import Act, Happened, NotAllowed
from quotes.days import short_date
from tests.ordering.placed import CLERK, FACTORY, MANAGER, load_shop, sent_order, user
from tests.quotes.shop import part_opening

LEFT, ARRIVED, HANDED = Act.LEFT, Act.ARRIVED, Act.HANDED


def log_of(*steps, made=True):
    """A line of five, sent on the first of the month; then (act, day of the month, how many)."""
    first = date(2030, 3, 1)
    lines = {"lines": {"1": {"quantity": 5, "made": made}}}
    events = [Happened(1, Act.PLACED, first, {}, lines)]
    if made:
        events.append(Happened(2, Act.SENT, first, {1: 5}))
    for act, day, count in steps:
        events.append(Happened(len(events) + 1, act, date(2030, 3, day), {1: count}))
    return events


def last_of(events):
    check_days(replay(events), events[:-1], events[-1])


@pytest.mark.parametrize(
    "steps",
    [
        [(LEFT, 4, 5), (ARRIVED, 4, 5), (HANDED, 4, 5)],
        [(LEFT, 4, 2), (ARRIVED, 6, 2), (LEFT, 9, 3), (ARRIVED, 9, 3)],
        [(LEFT, 4, 2), (LEFT, 9, 3), (ARRIVED, 10, 3), (ARRIVED, 5, 2)],
        [(LEFT, 4, 2), (ARRIVED, 6, 2), (HANDED, 7, 1), (LEFT, 9, 3)],
        [(LEFT, 4, 5), (ARRIVED, 6, 5), (HANDED, 8, 3), (HANDED, 6, 2)],
    ],
    ids=["in a day", "in parts", "written late", "the rest later", "handed over written late"],
)
def test_in_turn(steps):
    """What may have happened is written, in whichever order it is written down."""
    last_of(log_of(*steps))


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        (
            [(LEFT, 4, 5), (ARRIVED, 3, 5)],
            "Line 1: 5 cannot have come to our dock by 3 Mar 2030, when none had left the factory: "
            "give 4 Mar 2030 or a later day.",
        ),
        (
            [(LEFT, 4, 2), (LEFT, 9, 3), (ARRIVED, 8, 4)],
            "4 cannot have come to our dock by 8 Mar 2030, when 2 had left the factory: give 9 Mar 2030 ",
        ),
        (
            [(LEFT, 4, 2), (LEFT, 9, 3), (ARRIVED, 8, 2), (ARRIVED, 5, 1)],
            "3 cannot have come to our dock by 8 Mar 2030, when 2 had left the factory: give 9 Mar 2030 ",
        ),
        (
            [(LEFT, 4, 5), (ARRIVED, 6, 5), (HANDED, 5, 1)],
            "1 cannot have been handed over by 5 Mar 2030, when none had come to our dock: give 6 Mar 2030 ",
        ),
    ],
    ids=["arrived", "in parts", "written late", "handed over"],
)
def test_out_of_turn(steps, words):
    """What cannot have happened is refused, with the day from which it can."""
    with pytest.raises(NotAllowed) as refused:
        last_of(log_of(*steps))
    assert words in str(refused.value)


def test_from_our_own_shelf():
    """A line that no factory makes comes to the dock by itself, and is handed over after that."""
    last_of(log_of((ARRIVED, 4, 5), made=False))
    with pytest.raises(NotAllowed, match="give 4 Mar 2030 or a later day"):
        last_of(log_of((ARRIVED, 4, 5), (HANDED, 3, 5), made=False))


def test_an_old_log_goes_on():
    """Where the days were wrong before they were asked for, what comes after them is still written."""
    last_of(log_of((LEFT, 4, 5), (ARRIVED, 3, 5), (HANDED, 6, 5)))


def test_taken_back():
    """A first part that has arrived cannot be made one that never left."""
    events = log_of((LEFT, 4, 2), (LEFT, 9, 3), (ARRIVED, 5, 2))
    back = Happened(6, Act.TAKEN_BACK, date(2030, 3, 10), {1: 0}, {"event": 3}, "wrong line")
    with pytest.raises(
        NotAllowed, match="when none had left the factory: take back first what builds"
    ):
        last_of([*events, back])


@pytest.mark.parametrize(
    ("what", "steps", "number", "words"),
    [
        ("broken", [(LEFT, 4, 5), (ARRIVED, 6, 2)], 4, "1 cannot have been handed over or been made again by 9 Mar 2030, "
         "when none had come to our dock: what is made again cannot be taken back"),
        ("lost", [(LEFT, 4, 1), (LEFT, 5, 1), (ARRIVED, 6, 1)], 3, "2 cannot have come to our dock or been made again by "
         "9 Mar 2030, when 1 had left the factory: what is made again cannot be taken back"),
    ],
)  # fmt: skip
def test_made_again(what, steps, number, words):
    """What broke at our dock had come there, what was lost had left: neither can be made never to have done so."""
    events = log_of(*steps)
    again = {"line": 2, "of": 1, "quantity": 1, "made": True, what: 1}
    at = len(events) + 1
    events.append(Happened(at, Act.REMADE, date(2030, 3, 9), {1: 1}, again, "crushed"))
    last_of(events)
    data = {"event": number}
    events.append(Happened(at + 1, Act.TAKEN_BACK, date(2030, 3, 10), {1: 0}, data, "wrong line"))
    with pytest.raises(NotAllowed) as refused:
        last_of(events)
    assert words in str(refused.value)


@pytest.mark.django_db
def test_the_page_keeps_what_was_typed():
    """The page comes back with the sentence, the count and the day as typed; nothing is written."""
    load_shop()
    order, sent = sent_order(part_opening(quantity=3))
    (line,) = sent.lines.all()
    today = timezone.localdate()
    shipped(sent.pk, {line.pk: 3}, today, FACTORY)
    line.refresh_from_db()
    client = Client()
    client.force_login(user())
    yesterday = (today - timedelta(days=1)).isoformat()
    typed = {"act": "arrived", "count": "2", "on": yesterday, "version": line.version}
    page = client.post(f"/orders/{order.pk}/lines/1/", typed)
    assert page.status_code == 422
    words = page.content.decode()
    assert f"give {short_date(today)} or a later day" in words
    assert f'value="{yesterday}"' in words and 'max="3" value="2"' in words
    assert OrderLine.objects.get().step == "left"
    write(order.pk, Act.ARRIVED, {1: 2}, CLERK, on=today)
    with pytest.raises(NotAllowed, match="have been handed over"):
        write(order.pk, Act.HANDED, {1: 1}, MANAGER, on=today - timedelta(days=1))
