"""Sends lines to factories and writes what factories answer, by their link or through the desk."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby

from django.utils import timezone

from ordering.described import given_up
from ordering.events.acting import one_act
from ordering.events.holding import hold_factory_order, hold_orders_of
from ordering.events.log import StaleError, Who, write, written_since
from ordering.events.telling import tell_factory
from ordering.links import new_link
from ordering.logged import state_of
from ordering.models import Event, FactoryOrder, OrderLine, OrderWord
from ordering.notices import Kind
from ordering.states import Act, NotAllowed, OrderState, Step
from ordering.words import tokens
from quotes.days import long_date, short_date
from sizing.models import Factory

FARTHEST = timedelta(days=730)


@one_act
def send_to_factories(
    line_pks: Sequence[int],
    who: Who,
    note: str = "",
    seen: Mapping[int, int] | None = None,
    asked: Collection[int] = (),
) -> list[FactoryOrder]:
    """Gather lines by factory into one factory order each and mail them: all of it or nothing.

    `seen` is {line's key: its version}; `asked` the keys of lines given up since they were placed, of which
    their factory has said that it makes them all the same. Raises NotAllowed, StaleError.
    """
    meant = OrderLine.objects.filter(pk__in=line_pks)
    hold_orders_of(meant)
    lines = list(
        meant.select_related("order", "factory", "part", "family").order_by(
            "factory", "order", "number"
        )
    )
    if not lines:
        raise NotAllowed("Tick the lines to send first.")
    shelf = next((line for line in lines if line.factory is None), None)
    if shelf:
        raise NotAllowed(
            f"Line {shelf} comes from our own shelf; there is no factory to send it to."
        )
    today = timezone.localdate()
    gone = {line.pk: given_up(line, today) for line in lines}
    for line in lines:
        if gone[line.pk] and line.pk not in asked:
            raise NotAllowed(
                f"Line {line}: {gone[line.pk]}. Ask {line.factory} first: tick beside the line that it makes it "
                "all the same, or cancel the line and call the customer."
            )
    agreed = {pk for pk, since in gone.items() if since}
    return [
        _send(factory, list(group), who, note, seen or {}, agreed)
        for factory, group in groupby(lines, key=lambda line: line.factory)
    ]


def _send(
    factory: Factory,
    lines: list[OrderLine],
    who: Who,
    note: str,
    seen: Mapping[int, int],
    agreed: Collection[int],
) -> FactoryOrder:
    today = timezone.localdate()
    made = FactoryOrder.objects.create(
        factory=factory, note=note, by=who.name, sent_on=today, **new_link()
    )
    OrderLine.objects.filter(pk__in=[line.pk for line in lines]).update(factory_order=made)
    for event_lines in by_order(lines):
        order = event_lines[0].order
        asked = [line.number for line in event_lines if line.pk in agreed]
        write(
            order.pk, Act.SENT, {line.number: line.going for line in event_lines}, who,
            data={"factory_order": made.number, **({"asked": asked} if asked else {})},
            seen={line.number: seen[line.pk] for line in event_lines if line.pk in seen},
        )  # fmt: skip
        OrderWord.objects.bulk_create(
            (OrderWord(order=order, word=word) for word in tokens(made.number)),
            ignore_conflicts=True,
        )
    tell_factory(Kind.FACTORY, made, who.name)
    return made


def by_order(lines: Iterable[OrderLine]) -> list[list[OrderLine]]:
    ordered = sorted(lines, key=lambda line: (line.order_id, line.number))
    return [list(group) for _, group in groupby(ordered, key=lambda line: line.order_id)]


@one_act
def acknowledge(order_pk: int, who: Who) -> None:
    """The factory has the order but no date yet."""
    order = hold_factory_order(order_pk)
    waiting = order.lines.filter(step=Step.SENT).select_related("order")
    for lines in by_order(waiting):
        pieces = {line.number: line.going for line in lines}
        write(lines[0].order_id, Act.ACKNOWLEDGED, pieces, who)
    answered(order)


@one_act
def give_dates(order_pk: int, dates: Mapping[int, date], who: Who, why: str = "") -> list[Event]:
    """{line's key: the day it is to leave}: first dates and moved ones, one event an order and kind.

    A date that stands already is no event. Moved ones need `why`. Raises NotAllowed.
    """
    order = hold_factory_order(order_pk)
    lines = own_lines(order, dates)
    events = []
    for group in by_order(lines):
        state = state_of(group[0].order)
        for act in (Act.PROMISED, Act.MOVED):
            said = _days_said(act, group, state, dates, why)
            if said:
                pieces = {n: state.lines[n].going - state.lines[n].left for n in said}
                promised = {str(n): day.isoformat() for n, day in said.items()}
                reason = why if act is Act.MOVED else ""
                data = {"promised": promised}
                events.append(write(group[0].order_id, act, pieces, who, why=reason, data=data))
    answered(order)
    return events


def _days_said(
    act: Act, lines: Iterable[OrderLine], state: OrderState, dates: Mapping[int, date], why: str
) -> dict[int, date]:
    """{line's number: its day}: of one order's lines those that get their first day (PROMISED), or that move
    to another (MOVED). Raises NotAllowed."""
    said = {}
    for line in lines:
        has, wanted = state.lines[line.number].promised_on, dates[line.pk]
        if has == wanted or (has is None) != (act is Act.PROMISED):
            continue
        _check_day(line, wanted, timezone.localdate())
        if has and not why.strip():
            raise NotAllowed(
                f"The date of {line} moves from {long_date(has)} to {long_date(wanted)} "
                "and needs its reason: type it beside the dates. The customer reads it.",
                box="why",
            )
        said[line.number] = wanted
    return said


def check_seen(lines: Iterable[OrderLine], seen: Mapping[int, int]) -> None:
    for line in lines:
        said = seen.get(line.pk, line.version)
        if said != line.version and written_since(list(line.order.events.all()), line.number, said):
            raise StaleError(
                f"Line {line} was changed meanwhile: it is {line.get_step_display().lower()} now. "
                "Look at the page again before you write."
            )


def _check_day(line: OrderLine, wanted: date, today: date) -> None:
    if wanted < today:
        raise NotAllowed(f"Line {line}: {short_date(wanted)} is over; give a day from today on.")
    if wanted > today + FARTHEST:
        raise NotAllowed(
            f"Line {line}: {short_date(wanted)} is more than two years away; check the year."
        )


@one_act
def answer(
    order_pk: int,
    who: Who,
    *,
    dates: Mapping[int, date],
    why: str = "",
    counts: Mapping[int, int],
    on: date,
    seen: Mapping[int, int] | None = None,
) -> tuple[list[Event], list[Event]]:
    """Dates and what has left, said at one press: all of it or nothing. The events of each.

    As `give_dates` and `shipped`; either may be empty. Raises NotAllowed, StaleError.
    """
    order = hold_factory_order(order_pk)
    check_seen(own_lines(order, {**dates, **counts}), seen or {})
    given = give_dates(order_pk, dates, who, why) if dates else []
    return given, shipped(order_pk, counts, on, who) if counts else []


@one_act
def shipped(order_pk: int, counts: Mapping[int, int], on: date, who: Who) -> list[Event]:
    """{line's key: how many have left on that day}, in part or whole; one event an order."""
    order = hold_factory_order(order_pk)
    lines = own_lines(order, counts)
    if not lines:
        raise NotAllowed("Say how many of which line have left.")
    events = [
        write(
            group[0].order_id,
            Act.LEFT,
            {line.number: counts[line.pk] for line in group},
            who,
            on=on,
        )
        for group in by_order(lines)
    ]
    answered(order)
    return events


def own_lines(order: FactoryOrder, keys: Collection[int]) -> list[OrderLine]:
    """The lines meant, all of this factory order."""
    lines = list(order.lines.filter(pk__in=list(keys)).select_related("order"))
    if len(lines) != len(keys):
        raise NotAllowed(f"One of these lines is not in {order}.")
    return lines


def answered(order: FactoryOrder) -> None:
    if order.answered_on is None:
        order.answered_on = timezone.localdate()
        order.save(update_fields=["answered_on"])


@one_act
def chase(order_pk: int, who: Who) -> None:
    """Ask the factory again for its answer: one mail for each factory order, however often it is pressed."""
    order = hold_factory_order(order_pk)
    if order.answered_on:
        raise NotAllowed(
            f"{order} was answered on {short_date(order.answered_on)}: there is nothing to ask."
        )
    if order.said_on:
        raise NotAllowed(
            f"{order.factory} has written itself and waits for our word: answer that first."
        )
    if order.chased_on is None:
        tell_factory(Kind.CHASED, order, who.name)
        order.chased_on = timezone.localdate()
        order.save(update_fields=["chased_on"])
