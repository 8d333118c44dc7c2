"""What is said of an order, in sentences to be read out. Pure: knows no Django and no database."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from ordering.states import LineState, Step, Window
from quotes.counted import counted
from quotes.days import day_and_month, long_date
from sizing.wording import gettext as _
from sizing.wording import ngettext

# Lines whose likely days are no further apart than this are read out as one.
APART = 3


def day(on: date, today: date | None = None) -> str:
    """4 December 2026; without the year while it is this one."""
    return day_and_month(on) if today and on.year == today.year else long_date(on)


def span(first: date, last: date, today: date | None = None) -> str:
    """on 4 December; between 4 and 18 December; between 28 November and 4 December."""
    if first == last:
        return _("on {day}").format(day=day(first, today))
    if (first.year, first.month) == (last.year, last.month):
        begin = str(first.day)
    else:
        begin = day(first, today if last.year == first.year else None)
    return _("between {first} and {last}").format(first=begin, last=day(last, today))


def window_in_words(window: Window, today: date | None = None, count: int = 1) -> str:
    """Should leave the factory between 4 and 18 December, most likely about 11 December.

    `count` of things are spoken of: other languages than English say it differently of several.
    """
    when = span(window.earliest, window.latest, today)
    words = ngettext("should leave the factory {when}", "should leave the factory {when}", count)
    said = words.format(when=when)
    if window.earliest == window.latest:
        return said
    return _("{clause}, most likely about {likely}").format(
        clause=said, likely=day(window.likely, today)
    )


def together(windows: Iterable[Window | None]) -> Window | None:
    """One window of what leaves at about the same time: that of the last of it.

    None where there is nothing, something has no window, or the likely days lie more than APART apart.
    """
    every = list(windows)
    known = [window for window in every if window]
    if not known or len(known) < len(every):
        return None
    likely = [window.likely for window in known]
    if (max(likely) - min(likely)).days > APART:
        return None
    first, last = max(w.earliest for w in known), max(w.latest for w in known)
    return Window(first, max(likely), last)


def pieces(count: int, unit: str, name: str) -> str:
    """2 pairs of X; 1 piece of X."""
    return _("{counted} of {what}").format(counted=counted(count, unit), what=name)


def it(clause: str) -> str:
    """A clause about one line as a sentence of its own."""
    return ngettext("It {clause}.", "They {clause}.", 1).format(clause=clause)


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
        return _("was cancelled")
    if line.step is Step.AGAIN:
        return _("is made again")
    if line.step is Step.HANDED:
        if handed_on:
            return _("was handed over on {day}").format(day=day(handed_on, today))
        return _("was handed over")
    if line.step is Step.DOCK:
        waits = _("is at our dock and goes out next")
        if pickup:
            waits = _("is at our dock, ready to be picked up")
        if not line.handed:
            return waits
        return _("was handed over in part, {handed} of {going}; the rest {clause}").format(
            handed=line.handed, going=line.wanted, clause=waits
        )
    if line.step is Step.HELD:
        if held_because:
            return _("is on hold: {why}").format(why=held_because.rstrip("."))
        return _("is on hold")
    if line.step is Step.LEFT:
        on_its_way = _("left the factory and is on its way to us")
        if line.left_on:
            on_its_way = _("left the factory on {day} and is on its way to us").format(
                day=day(line.left_on, today)
            )
        return _in_part(line, on_its_way)
    if not line.made:
        return _in_part(line, _("comes from our own shelf and is not on the dock yet"))
    return _still_to_leave(line, window, today)


def _in_part(line: LineState, clause: str) -> str:
    """What is said of all of it, of the rest where some has come to the dock or was handed over from there."""
    here = line.arrived - line.broken - line.handed
    if here:
        words = _("has reached our dock in part, {arrived} of {going}; the rest {clause}")
        clause = words.format(arrived=here, going=line.wanted - line.handed, clause=clause)
    if line.handed:
        words = _("was handed over in part, {handed} of {going}; the rest {clause}")
        clause = words.format(handed=line.handed, going=line.wanted, clause=clause)
    return clause


def _still_to_leave(line: LineState, window: Window | None, today: date) -> str:
    said = _("has no date yet") if window is None else window_in_words(window, today)
    if line.refused_on and line.is_refused:
        words = _(
            "cannot be made as ordered, the factory told us on {day}, so there is no date, "
            "and we will tell you what can be done instead"
        )
        said = words.format(day=day(line.refused_on, today))
    # What is made again counts for the line that it is made again as.
    left = line.left - line.lost - line.broken
    if left and left == line.arrived - line.broken:
        said = _in_part(line, said)
    elif left:
        said = _("has left in part, {left} of {going}; the rest {clause}").format(
            left=left, going=line.wanted, clause=said
        )
    elif line.step is Step.PLACED:
        said = _("has not gone to the factory yet and {clause}").format(clause=said)
    if window is None:
        return said
    if line.promised_on:
        words = _("the factory says {day}")
        if line.promised_on < today:
            words = _("the factory had said {day}")
        said += "; " + words.format(day=day(line.promised_on, today))
    if line.told and line.told.latest < today:
        later = _("That is later than we told you: {day} at the latest")
        said += ". " + later.format(day=day(line.told.latest, today))
    return said


def refusal(factory: object, line: LineState, today: date) -> str:
    """Of a line that its factory can't make: who says so since when, as a clause for the desk."""
    return f"{factory} says since {_on(line.refused_on, today)} that it can't make it"


def at_its_factory(line: LineState, today: date) -> str:
    """How a line of which something still goes stands, said to its factory, which reads English: what they
    have said and done, and what we wait for."""
    if line.step is Step.AGAIN:
        return "Lost or broken after it left you; what takes its place is a line of its own"
    if line.left == line.going and line.arrived:
        part = "" if line.arrived + line.lost == line.left else " in part"
        return f"It has left you and is with us{part}"
    if line.left == line.going:
        return f"It left you on {_on(line.left_on, today)}"
    if line.held:
        return "On hold: please wait until we write again"
    said = f"Sent to you on {_on(line.sent_on, today)}; you have not answered yet"
    if line.is_refused:
        said = (
            f"You wrote on {_on(line.refused_on, today)} that you can't make it; a date that you give here says that "
            "you do after all"
        )
    elif line.begun is Step.MAKING:
        said = "You are making it"
    elif line.confirmed_on:
        said = f"You confirmed it on {_on(line.confirmed_on, today)}"
    if line.promised_on:
        leaves = "leaves" if line.promised_on >= today else "was to leave"
        said += f"; by your date it {leaves} you on {_on(line.promised_on, today)}"
    return f"{said}; {line.left} of {line.going} have left you" if line.left else said


def _on(known: date | None, today: date) -> str:
    return day(known, today) if known else "a day not noted"


def listed(words: Iterable[str]) -> str:
    """a, b and c"""
    said = list(words)
    if len(said) < 2:
        return "".join(said)
    return _("{some} and {last}").format(some=", ".join(said[:-1]), last=said[-1])
