"""What a line needs somebody for until it is at our dock, as of a day.

Forecasting every open order takes seconds in a large shop, so each line keeps its need: noted by whatever
writes to its order, and once a day by the look at every open order (`ordering.events`). The lists read those.
"""

from __future__ import annotations

from datetime import date

from django.db.models import QuerySet

from ordering.attention import (
    ANSWER_DAYS,
    SILENT_DAYS,
    TRANSIT_DAYS,
    Item,
    Need,
    is_late,
    is_missed,
    late_words,
)
from ordering.described import not_made
from ordering.expected import lead_times_of, window_of
from ordering.models import Order, OrderLine
from ordering.sentences import day, refusal
from ordering.states import LineState, Step
from sizing.models import Factory
from sizing.standing import Place


def to_watch(today: date | Place) -> QuerySet:
    """Keys of the open orders that nobody has looked at today, whichever way the clock has gone."""
    still = Order.objects.filter(is_open=True).order_by().values_list("pk", flat=True)
    before, behind = still.filter(watched_on__lt=today), still.filter(watched_on__gt=today)
    # Each asked by itself: of one question with "or" in it SQLite went along all open orders.
    return still.filter(watched_on=None).union(before, behind, all=True)


def workdays(factory: Factory, first: date, last: date, today: date) -> int:
    """Working days of the factory between two days."""
    return lead_times_of(factory, today).calendar.workdays_between(first, last)


def need_of(line: OrderLine, now: LineState, today: date) -> Item | None:
    """The most pressing need of a line; None where nothing of it is awaited or all goes as told."""
    if line.factory is None or now.held:
        return None
    at_factory = _at_its_factory(line, now, today) if now.awaits_factory else None
    return at_factory or _on_its_way(line, now, today)


def _on_its_way(line: OrderLine, now: LineState, today: date) -> Item | None:
    """What has left and should have come."""
    if not (now.made and now.to_arrive and now.left_on):
        return None
    days = workdays(line.factory, now.left_on, today, today) - TRANSIT_DAYS
    if days <= 0:
        return None
    some = f"{now.to_arrive} of {now.going} " if now.to_arrive < now.going else ""
    words = f"{some}left {line.factory} on {day(now.left_on, today)} and has not come to our dock"
    return Item(Need.ON_ITS_WAY, words, days, 1, ("line", line.pk))


def _at_its_factory(line: OrderLine, now: LineState, today: date) -> Item | None:
    factory, key = line.factory, ("line", line.pk)
    if now.step is Step.PLACED:
        waits = workdays(factory, now.since, today, today)
        gone = not_made(line.part_number, line.family, today)
        if gone:
            words = f"{gone}: ask {factory} before it is sent"
            return Item(Need.UNSENT, words, max(waits, 1), 1, key)
        if waits < 1:
            return None
        words = f"placed on {day(now.since, today)} and not sent to {factory} yet"
        return Item(Need.UNSENT, words, waits, 1, key)
    if now.is_refused:
        words = f"{refusal(factory, now, today)}: {now.refused_why}"
        days = max(workdays(factory, now.refused_on, today, today), 1)
        return Item(Need.REFUSED, words, days, 1, key)
    if now.promised_on and workdays(factory, now.promised_on, today, today) >= SILENT_DAYS:
        days = workdays(factory, now.promised_on, today, today)
        words = f"{factory} had said {day(now.promised_on, today)} and has said nothing since"
        return Item(Need.SILENT, words, days, 1, key)
    window = window_of(line, now, today)
    if window and now.told and (is_late(now.told, today) or now.told.latest < window.likely):
        days = max(workdays(factory, now.told.latest, window.likely, today), 1)
        return Item(Need.LATE_RISK, late_words(now.told, window, today), days, 1, key)
    needed = line.order.needed_by
    if window and is_missed(needed, window.likely):
        days = max(workdays(factory, needed, window.likely, today), 1)
        words = f"needed by {day(needed, today)}, and it looks like {day(window.likely, today)}"
        return Item(Need.NEEDED, words, days, 1, key)
    answered = line.factory_order and line.factory_order.answered_on
    if answered and now.promised_on is None:
        waits = workdays(factory, answered, today, today)
        if waits > ANSWER_DAYS:
            rest = f" for the other {now.going - now.left}" if now.left else ""
            words = f"{factory} has had it since {day(answered, today)} and has given no date{rest}"
            return Item(Need.NO_DATE, words, waits - ANSWER_DAYS, 1, key)
    return None
