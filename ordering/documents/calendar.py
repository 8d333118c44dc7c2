"""The customer's calendar file of an order's windows (RFC 5545).

Each line that is still at the factory is one all-day entry from the earliest to the latest day. Its
UID never changes and its SEQUENCE rises when the window told has moved, so that a calendar which
reads the file again replaces the old entry.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Calendar, Event

from ordering.states import Window
from sizing.wording import gettext as _


@dataclass(frozen=True)
class Entry:
    """One line: `uid` for ever the same, `sequence` the count of changes, `stamp` when it last changed,
    `words` how it stands."""

    uid: str
    name: str
    window: Window
    sequence: int
    stamp: datetime
    link: str
    words: str
    cancelled: bool = False


def calendar_file(title: str, entries: Iterable[Entry]) -> bytes:
    """The file, lines folded at 75 octets and ended by CRLF."""
    calendar = Calendar()
    calendar.add("prodid", "-//Sashdesk//orders//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", title)
    calendar.add("refresh-interval", timedelta(hours=12), parameters={"VALUE": "DURATION"})
    for entry in entries:
        calendar.add_component(_event(entry))
    return calendar.to_ical()


def _event(entry: Entry) -> Event:
    window = entry.window
    event = Event()
    event.add("uid", entry.uid)
    event.add("sequence", entry.sequence)
    event.add("dtstamp", entry.stamp)
    event.add("last-modified", entry.stamp)
    event.add("dtstart", window.earliest)
    # The end of an all-day entry is the day after its last (RFC 5545, 3.6.1).
    event.add("dtend", window.latest + timedelta(days=1))
    event.add("summary", _("{what}: leaves the factory").format(what=entry.name))
    event.add("description", entry.words)
    event.add("url", entry.link)
    event.add("transp", "TRANSPARENT")
    event.add("status", _status(entry, window.likely))
    return event


def _status(entry: Entry, likely: date) -> str:
    if entry.cancelled:
        return "CANCELLED"
    return "CONFIRMED" if entry.window.earliest == entry.window.latest == likely else "TENTATIVE"
