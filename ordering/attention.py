"""What of the open work needs somebody, why, and what helps most. Pure: knows no Django and no database."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import IntEnum

from ordering.sentences import day
from ordering.states import Window

# Working days within which a factory is expected to answer at all.
ANSWER_DAYS = 3
# So many days after a customer was told of a window no other is told that the desk itself worked out:
# a late order's window moves a little further every few days. A delay is always told.
TELL_AGAIN_DAYS = 5
# A factory that has let a promised day go by for so many working days without a word is silent.
SILENT_DAYS = 2
# Working days after which what left a factory should have come to our dock: common practice, no source.
TRANSIT_DAYS = 10


class Need(IntEnum):
    """Kinds of trouble; a higher one comes first among equals."""

    UNSENT = 1
    NO_DATE = 2
    LATE_RISK = 3
    NO_ANSWER = 4
    SILENT = 5
    CALL = 6
    MAIL_FAILS = 7
    NEEDED = 8
    ON_ITS_WAY = 9
    ASKS = 10
    REFUSED = 11


@dataclass(frozen=True)
class Item:
    """One line of the watch list. `days` is how much is at stake in working days, `people` how many wait."""

    need: Need
    why: str
    days: int
    people: int
    key: tuple[str, int]

    @property
    def weight(self) -> tuple[int, int, int]:
        """Working days of waiting at stake, of all people together; then the kind."""
        return (max(self.days, 1) * self.people, self.need, -self.key[1])


def by_help(items: list[Item]) -> list[Item]:
    """What helps most first: the most days for the most people."""
    return sorted(items, key=lambda item: item.weight, reverse=True)


def really_moved(told: Window | None, now: Window | None) -> bool:
    """Whether a customer should hear of a new window: its likely day lies outside the one told.

    Windows narrow and shift a little every day; a customer hears only of what would surprise them.
    """
    if told is None or now is None:
        return False
    return not told.earliest <= now.likely <= told.latest


def is_late(told: Window | None, today: date) -> bool:
    """Whether the last day that was told is over."""
    return told is not None and told.latest < today


def is_missed(needed: date | None, leaves: date) -> bool:
    """Whether what leaves its factory on a day comes too late for the day on which it is needed: it has still to
    travel."""
    return needed is not None and needed <= leaves


def late_words(told: Window, now: Window, today: date) -> str:
    """Why a line is on the list for its date, in one clause."""
    if is_late(told, today):
        return f"we told {day(told.latest, today)} at the latest, and that is over"
    return (
        f"we told {day(told.latest, today)} at the latest, now it looks like "
        f"{day(now.likely, today)}"
    )
