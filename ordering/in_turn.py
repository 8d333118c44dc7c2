"""What a piece does is dated after what it had to do first. Pure: knows no Django and no database.

A line's pieces are not told apart, so it is their counts by each day that have to agree; within a day all
of it may happen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from ordering.replay import standing
from ordering.states import Act, Happened, NotAllowed, OrderState
from quotes.days import short_date

# What a piece has to have done before it does these, and how that is said of it.
_FIRST = {
    Act.ARRIVED: (Act.LEFT, "have come to our dock", "had left the factory"),
    Act.HANDED: (Act.ARRIVED, "have been handed over", "had come to our dock"),
}
# As what pieces are made again that had left, and never came to our dock, or never go on from there.
_MADE_AGAIN = {Act.ARRIVED: "lost", Act.HANDED: "broken"}


def check_days(state: OrderState, log: Sequence[Happened], event: Happened) -> None:
    """That by no day more pieces of a line have arrived than left, or were handed over than arrived; those made
    again are counted where they were lost or broken.

    `state` is the order with the event, `log` what was written before it. An order whose days were wrong
    before nobody asked for them goes on. Raises NotAllowed.
    """
    now = standing([*log, event])
    for number in event.pieces:
        for act, (first, does, had_done) in _FIRST.items():
            if first is Act.LEFT and not state.lines[number].made:
                continue
            wrong = _too_early(now, number, first, act)
            if wrong is None or _too_early(standing(log), number, first, act):
                continue
            day, count, before = wrong
            mend = "take back first what builds on it"
            if _spoiled(now, number, act, day):
                does += " or been made again"
                mend = "what is made again cannot be taken back; write down what is right now"
            if event.act is not Act.TAKEN_BACK:
                mend = f"give {short_date(_day_of(now, number, first, count))} or a later day"
            raise NotAllowed(
                f"Line {number}: {count} cannot {does} by {short_date(day)}, when {before or 'none'} {had_done}: {mend}."
            )


def _too_early(
    events: Sequence[Happened], number: int, first: Act, act: Act
) -> tuple[date, int, int] | None:
    """The first day by which an act counts more pieces of a line than what has to come first, and both counts."""
    for day in sorted({event.on for event in events if event.act in (act, Act.REMADE)}):
        count, had = (_by(events, number, one, day) for one in (act, first))
        count += _spoiled(events, number, act, day)
        if count > had:
            return day, count, had
    return None


def _by(events: Iterable[Happened], number: int, act: Act, day: date) -> int:
    """The pieces of a line of which this was written up to a day."""
    meant = (event for event in events if event.act is act and event.on <= day)
    return sum(event.pieces.get(number, 0) for event in meant)


def _spoiled(events: Iterable[Happened], number: int, act: Act, day: date) -> int:
    """The pieces of a line that up to a day were made again in the place of doing this."""
    again = (event for event in events if event.act is Act.REMADE and event.on <= day)
    what = _MADE_AGAIN[act]
    return sum(event.data.get(what, 0) for event in again if number in event.pieces)


def _day_of(events: Sequence[Happened], number: int, act: Act, count: int) -> date:
    """The day on which so many of a line had done it; there is one, as pieces are counted, too."""
    days = sorted(event.on for event in events if event.act is act)
    return next(day for day in days if _by(events, number, act, day) >= count)
