"""The window of an order's line, from the lead-time answers; a factory's fit is kept a while."""

from __future__ import annotations

import time
from datetime import date

from ordering.answers import lead_times
from ordering.lead_time import FactoryLeadTimes
from ordering.models import OrderLine
from ordering.states import LineState, Window
from sizing.models import Factory

# A fit reads the factory's whole past: ten minutes old is good enough for a phone call.
KEEP_SECONDS, MOST_KEPT = 600, 16
_kept: dict[tuple[int, date], tuple[float, FactoryLeadTimes]] = {}


def lead_times_of(factory: Factory, on: date) -> FactoryLeadTimes:
    """The factory's lead times as of a day, fitted within the last ten minutes."""
    key = (factory.pk, on)
    now = time.monotonic()
    found = _kept.get(key)
    if found is None or now - found[0] > KEEP_SECONDS:
        while len(_kept) >= MOST_KEPT:
            _kept.pop(next(iter(_kept)))
        found = _kept[key] = (now, lead_times(factory, on))
    return found[1]


def forget() -> None:
    """Fit anew at the next question (after an import of past orders, and between tests)."""
    _kept.clear()


def window_of(line: OrderLine, state: LineState, on: date) -> Window | None:
    """When what is still at the factory should leave it; None for what has left or has no factory.

    A line not sent yet is taken to go to the factory on the day itself.
    """
    if line.family is None or not state.awaits_factory:
        return None
    times = lead_times_of(line.family.factory, on)
    number, wanted = line.part_number, state.going - state.left
    if state.sent_on and state.sent_on <= on:
        found = times.of_open(line.family.code, number, wanted, state.sent_on, state.promised_on)
    else:
        found = times.of_part(line.family.code, number, on, wanted)
    return Window(found.earliest, found.likely, found.latest, found.basis[:255])
