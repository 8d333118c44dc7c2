"""The window of an order's line, from the lead-time answers; a factory's fit is kept a while."""

from __future__ import annotations

import time
from collections.abc import Iterable
from datetime import date

from django.db.models import QuerySet
from django.utils import timezone

from ordering.answers import lead_times
from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.fits import fit_anew
from ordering.models import Order, OrderLine
from ordering.states import LineState, Window
from quotes.days import long_date
from sizing.models import Factory
from sizing.workdays import Calendar

# A fit reads the factory's whole past: ten minutes old is good enough for a phone call.
KEEP_SECONDS, MOST_KEPT = 600, 16
# The lead times learn what a factory's promises are worth; from so few they can't yet.
PROMISES_NEEDED = 8
_kept: dict[tuple[int, date], tuple[float, FactoryLeadTimes]] = {}


def lead_times_of(factory: Factory, on: date, family: str = "") -> FactoryLeadTimes:
    """The factory's lead times as of a day, fitted within the last ten minutes; anew if they do not know
    the family (a code) that is asked about, whose table came in since.
    """
    found = _kept.get((factory.pk, on))
    if found is None or time.monotonic() - found[0] > KEEP_SECONDS or not found[1].knows(family):
        return _keep(factory, on, lead_times(factory, on))
    return found[1]


def fit_and_keep(factory: Factory, on: date) -> None:
    """Fit the factory's past anew for the next to ask: in this process and, stored, in any."""
    _keep(factory, on, lead_times(factory, on, fit_anew(factory, on)))


def _keep(factory: Factory, on: date, times: FactoryLeadTimes) -> FactoryLeadTimes:
    while len(_kept) >= MOST_KEPT:
        _kept.pop(next(iter(_kept)))
    _kept[factory.pk, on] = (time.monotonic(), times)
    return times


def shut_on(factory: Factory, days: Iterable[date]) -> str:
    """A sentence that says on which of these days the factory is shut, by what is known of its working days;
    empty where it works on each."""
    calendar = lead_times_of(factory, timezone.localdate()).calendar
    shut = [(day, why) for day in sorted(days) if (why := calendar.why_shut(day))]
    named = [f"{day:%A}, {long_date(day)} ({why})" for day, why in shut]
    if not named:
        return ""
    what = "the date is kept" if len(named) == 1 else "the dates are kept"
    return f"By our calendar {factory} is shut on {' and '.join(named)}: {what} as given, in case it works then."


def forget() -> None:
    """Fit anew at the next question (after an import of past orders, and between tests)."""
    _kept.clear()


# Of a line's window and needs.
WORKED_OUT_FROM = ("part", "family__factory", "factory", "factory_order")


def lines_of(order: Order) -> QuerySet[OrderLine]:
    """The order's lines with all that their windows and needs are worked out from."""
    return order.lines.select_related(*WORKED_OUT_FROM)


def window_of(
    line: OrderLine, state: LineState, on: date, level: float | None = None
) -> Window | None:
    """When what is still at the factory should leave it; None for what has left, has no factory or is on hold, and
    for what its factory says it can't make. `level`: the share of such windows that hold.

    A line not sent yet is taken to go to the factory on the day itself.
    """
    if line.family is None or not state.has_a_day:
        return None
    times = lead_times_of(line.family.factory, on, line.family.code)
    number, wanted = line.part_number, state.going - state.left
    if state.sent_on and state.sent_on <= on:
        found = times.of_open(
            line.family.code,
            number,
            wanted,
            state.sent_on,
            state.promised_on,
            level,
            weeks=line.weeks,
            slipped=state.slipped,
            begun=state.is_begun,
        )
    else:
        found = times.of_part(line.family.code, number, on, wanted, level, weeks=line.weeks)
    window = Window(found.earliest, found.likely, found.latest, found.basis[:255])
    if state.promised_on is None or state.promised_on < on:
        return window
    if not (state.slipped or _promises_known(times)):
        window = believed(window, state.promised_on, times.calendar)
    # Moved towards an early date a wide window may begin before today.
    return holding(window, state.promised_on).still_to_come(on)


def _promises_known(times: FactoryLeadTimes) -> bool:
    """Whether enough of this factory's promises have come due for the lead times to judge by them."""
    return int(times.learned.outlook.promise_track.done.sum()) >= PROMISES_NEEDED


def believed(window: Window, promised: date, calendar: Calendar) -> Window:
    """The window of a factory whose promises have no record yet: half of what its word adds is believed.

    The window moves half-way to the promise, in whole working days.
    """
    half = int(calendar.workdays_between(window.likely, promised) / 2)
    moved = [_by_workdays(calendar, day, half) for day in window.days]
    return Window(*moved, window.basis)


def holding(window: Window, promised: date) -> Window:
    """The window with the factory's own date in it: nobody is told one that the factory has just said it will miss."""
    first, last = min(window.earliest, promised), max(window.latest, promised)
    return Window(first, window.likely, last, window.basis)


def _by_workdays(calendar: Calendar, day: date, count: int) -> date:
    return calendar.add_workdays(day, count, "forward" if count >= 0 else "backward")
