"""What is said of an order, in sentences to be read out. Pure: knows no Django and no database."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from ordering.states import LineState, Step, Window


def day(on: date, today: date | None = None) -> str:
    """4 December 2026; without the year while it is this one."""
    return f"{on.day} {on:%B}" if today and on.year == today.year else f"{on.day} {on:%B %Y}"


def span(first: date, last: date, today: date | None = None) -> str:
    """on 4 December; between 4 and 18 December; between 28 November and 4 December."""
    if first == last:
        return f"on {day(first, today)}"
    if (first.year, first.month) == (last.year, last.month):
        return f"between {first.day} and {day(last, today)}"
    return (
        f"between {day(first, today if last.year == first.year else None)} and {day(last, today)}"
    )


def window_in_words(window: Window, today: date | None = None) -> str:
    """Should leave the factory between 4 and 18 December, most likely about 11 December."""
    if window.earliest == window.latest:
        return f"should leave the factory {span(window.earliest, window.latest, today)}"
    return (
        f"should leave the factory {span(window.earliest, window.latest, today)}, "
        f"most likely about {day(window.likely, today)}"
    )


def pieces(count: int, unit: str, name: str) -> str:
    """2 pairs of X; 1 piece of X."""
    return f"{count} {unit}{'' if count == 1 else 's'} of {name}"


def how_it_stands(
    line: LineState,
    window: Window | None,
    today: date,
    *,
    pickup: bool = True,
    held_because: str = "",
    handed_on: date | None = None,
) -> str:
    """The end of "Your order …": one honest clause for the phone, with the date if there is one."""
    if line.step is Step.CANCELLED:
        return "was cancelled"
    if line.step is Step.HANDED:
        return f"was handed over on {day(handed_on, today)}" if handed_on else "was handed over"
    if line.step is Step.DOCK:
        return (
            "is at our dock, ready to be picked up"
            if pickup
            else "is at our dock and goes out next"
        )
    if line.step is Step.HELD:
        because = f": {held_because.rstrip('.')}" if held_because else ""
        return f"is on hold{because}"
    if line.step is Step.LEFT:
        when = f" on {day(line.left_on, today)}" if line.left_on else ""
        return f"left the factory{when} and is on its way to us"
    if not line.made:
        return "comes from our own shelf and is not on the dock yet"
    return _still_to_leave(line, window, today)


def _still_to_leave(line: LineState, window: Window | None, today: date) -> str:
    if line.left:
        said = f"has left in part, {line.left} of {line.going}; the rest "
    elif line.step is Step.PLACED:
        said = "has not gone to the factory yet and "
    else:
        said = ""
    if window is None:
        return f"{said}has no date yet"
    said += window_in_words(window, today)
    if line.promised_on:
        kept = "says" if line.promised_on >= today else "had said"
        said += f"; the factory {kept} {day(line.promised_on, today)}"
    if line.told and line.told.latest < today:
        said += f". That is later than we told you: {day(line.told.latest, today)} at the latest"
    return said


def listed(words: Iterable[str]) -> str:
    """a, b and c"""
    said = list(words)
    return " and ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said)
