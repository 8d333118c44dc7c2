"""Reads the watch list: what of the open work needs somebody, with the reason in each line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count
from django.utils import timezone

from ordering.attention import (
    ANSWER_DAYS,
    SILENT_DAYS,
    Item,
    Need,
    by_help,
    is_late,
    late_words,
)
from ordering.events.log import happened
from ordering.expected import lead_times_of, window_of
from ordering.models import FactoryOrder, Notice, Order, OrderLine
from ordering.replay import replay
from ordering.sentences import day
from ordering.states import LineState, Step
from sizing.models import Factory

# After so many failures a mail is somebody's business.
MAIL_TRIES = 3


@dataclass(frozen=True)
class Watched:
    """One item with what it is about: an order's line, a factory order or a notice."""

    item: Item
    line: OrderLine | None = None
    factory_order: FactoryOrder | None = None
    notice: Notice | None = None

    @property
    def factory_pk(self) -> int | None:
        if self.line:
            return self.line.factory_id
        order = self.factory_order or (self.notice and self.notice.factory_order)
        return order.factory_id if order else None


def watch_list() -> list[Watched]:
    """Everything that needs somebody, what helps most first."""
    today = timezone.localdate()
    found = [*_lines(today), *_unanswered(today), *_notices()]
    place = {item: n for n, item in enumerate(by_help([w.item for w in found]))}
    return sorted(found, key=lambda watched: place[watched.item])


def watched_narrowed(said: Mapping[str, Any]) -> list[Watched]:
    """Of the watch list, what is of this kind and about this factory."""
    return [
        one
        for one in watch_list()
        if said["need"] in ("", str(int(one.item.need)))
        and said["factory"] in ("", str(one.factory_pk))
    ]


def _workdays(factory: Factory, first: date, last: date) -> int:
    return lead_times_of(factory, timezone.localdate()).calendar.workdays_between(first, last)


def _lines(today: date) -> Iterator[Watched]:
    orders = Order.objects.filter(is_open=True).prefetch_related(
        "events", "lines__part", "lines__family__factory", "lines__factory", "lines__factory_order"
    )
    for order in orders:
        state = replay(happened(event) for event in order.events.all())
        for line in order.lines.all():
            line.order = order
            item = _of_line(line, state.lines[line.number], today)
            if item:
                yield Watched(item, line=line)


def _of_line(line: OrderLine, now: LineState, today: date) -> Item | None:
    """The most pressing need of a line that is still at its factory."""
    if line.factory is None or now.held or not now.awaits_factory:
        return None
    key = ("line", line.pk)
    if now.step is Step.PLACED:
        waits = _workdays(line.factory, line.order.placed_on, today)
        if waits < 1:
            return None
        words = f"placed on {day(line.order.placed_on, today)} and not sent to {line.factory} yet"
        return Item(Need.UNSENT, words, waits, 1, key)
    if now.promised_on and _workdays(line.factory, now.promised_on, today) >= SILENT_DAYS:
        days = _workdays(line.factory, now.promised_on, today)
        words = f"{line.factory} had said {day(now.promised_on, today)} and has said nothing since"
        return Item(Need.SILENT, words, days, 1, key)
    window = window_of(line, now, today)
    if window and now.told and (is_late(now.told, today) or now.told.latest < window.likely):
        days = max(_workdays(line.factory, now.told.latest, window.likely), 1)
        return Item(Need.LATE_RISK, late_words(now.told, window, today), days, 1, key)
    answered = line.factory_order and line.factory_order.answered_on
    if answered and now.promised_on is None:
        waits = _workdays(line.factory, answered, today)
        if waits > ANSWER_DAYS:
            words = f"{line.factory} has had it since {day(answered, today)} and has given no date"
            return Item(Need.NO_DATE, words, waits - ANSWER_DAYS, 1, key)
    return None


def _unanswered(today: date) -> Iterator[Watched]:
    waiting = (
        FactoryOrder.objects.filter(answered_on=None, lines__is_open=True, lines__step=Step.SENT)
        .select_related("factory")
        .annotate(people=Count("lines__order__customer", distinct=True))
    )
    for order in waiting:
        waits = _workdays(order.factory, order.sent_on, today)
        if waits <= ANSWER_DAYS:
            continue
        words = f"sent {waits} working days ago and {order.factory} has not answered"
        if order.chased_on:
            words += f", though asked again on {day(order.chased_on, today)}"
        item = Item(Need.NO_ANSWER, words, waits - ANSWER_DAYS, order.people, ("factory", order.pk))
        yield Watched(item, factory_order=order)


def _notices() -> Iterator[Watched]:
    unsent = Notice.objects.filter(sent_at=None).select_related(
        "event__order__customer", "factory_order__factory"
    )
    for notice in unsent:
        key = ("notice", notice.pk)
        about = notice.get_kind_display().lower()
        if not notice.to:
            whom = notice.event.order.customer if notice.event else notice.factory_order.factory
            words = f"no e-mail address: call {whom} ({about})"
            yield Watched(Item(Need.CALL, words, 1, 1, key), notice=notice)
        elif notice.attempts >= MAIL_TRIES:
            words = f"mail to {notice.to} has failed {notice.attempts} times: {notice.last_error}"
            yield Watched(Item(Need.MAIL_FAILS, words, 1, 1, key), notice=notice)
