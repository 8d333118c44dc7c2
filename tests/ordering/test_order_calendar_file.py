"""The customer's calendar file: one entry a line, the same UID for ever, SEQUENCE raised by a move."""

from datetime import timedelta

import pytest
from django.utils import timezone
from icalendar import Calendar

from ordering.events import give_dates, write
from ordering.links import page_of
from ordering.states import Act
from tests.ordering.placed import FACTORY, MANAGER, load_shop, sent_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def read(client):
    load_shop()
    order, sent = sent_order(hand=True)

    def read():
        answer = client.get("/" + page_of(order).split("/", 3)[3] + "order.ics")
        assert answer["Content-Type"] == "text/calendar; charset=utf-8"
        return answer.content

    read.order, read.sent = order, sent
    return read


def entry(content):
    (event,) = Calendar.from_ical(content).walk("VEVENT")
    return event


def test_the_window_is_the_entry(read):
    """From the earliest day to the day after the latest, all day, tentative, with the order's number."""
    line = read.order.lines.get(number=1)
    event = entry(read())
    assert event["DTSTART"].dt == line.told_earliest
    assert event["DTEND"].dt == line.told_latest + timedelta(1)
    assert event["STATUS"] == "TENTATIVE" and read.order.number in event["SUMMARY"]
    assert event["URL"] == page_of(read.order)


def test_a_move_raises_the_sequence(read):
    """After the factory's date and another one: same UID, higher SEQUENCE, later window."""
    first = entry(read())
    line, today = read.order.lines.get(number=1), timezone.localdate()
    give_dates(read.sent.pk, {line.pk: today + timedelta(80)}, FACTORY)
    give_dates(read.sent.pk, {line.pk: today + timedelta(120)}, FACTORY, "no slate")
    last = entry(read())
    assert last["UID"] == first["UID"]
    assert last["SEQUENCE"] > first["SEQUENCE"]
    assert last["DTSTART"].dt > first["DTSTART"].dt


def test_cancelled_it_says_so(read):
    """A cancelled line stays in the file as cancelled, so that calendars take it out."""
    write(read.order.pk, Act.CANCELLED, {1: 3}, MANAGER, why="sold the house")
    assert entry(read())["STATUS"] == "CANCELLED"


def test_lines_end_and_fold_as_they_should(read):
    """CRLF everywhere and no line longer than 75 octets (RFC 5545, 3.1)."""
    content = read()
    assert content.count(b"\n") == content.count(b"\r\n")
    assert max(map(len, content.split(b"\r\n"))) <= 75


def test_only_by_the_link(client, read):
    """Without the token there is no file."""
    assert client.get("/o/1/order.ics").status_code == 404
