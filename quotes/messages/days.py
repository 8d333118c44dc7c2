"""The day by which a message wants its parts: "needed by 12/12", "before Christmas".

A day of the calendar is worked out only where it can be no other; of everything else the words are kept.
"""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from quotes.messages.quoted import quoted
from quotes.messages.scan import blank, plain
from quotes.messages.stretch import Stretch


@dataclass(frozen=True)
class NamedDay:
    """The words that name it, and the day of the calendar where they can mean one only."""

    words: Stretch
    on: date | None


_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?"
    r"|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b\.?"
)
_WEEKDAY = r"(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\b\.?(?!['\w])"
_YEAR = r"(?:,? (?P<{0}>20\d\d)\b)?"
_CALENDAR = (
    r"(?P<y>20\d\d)-(?P<m>\d\d?)-(?P<d>\d\d?)\b"
    rf"|(?P<month>{_MONTH}) (?P<day>\d\d?)(?:st|nd|rd|th)?\b(?![/.]\d){_YEAR.format('year')}"
    rf"|(?P<day2>\d\d?)(?:st|nd|rd|th)? (?:of )?(?P<month2>{_MONTH}){_YEAR.format('year2')}"
    # Behind a size, "by 3/4" is the other side of it.
    r"|(?P<one>\d\d?)/(?P<other>\d\d?)(?:/(?P<year3>20\d\d|\d\d))?\b(?!/| ?(?:\"|in\b|inch))"
)
_IN_WORDS = (
    r"(?:the )?(?:(?:very )?(?:end|middle|beginning|start) of )?(?:the |this |next )?(?:coming |following )?"
    rf"(?:{_WEEKDAY}|week(?:end)?\b|month\b|year\b|spring\b|summer\b|fall\b|autumn\b|winter\b"
    rf"|{_MONTH}(?! \d)|christmas(?: eve| day)?\b|xmas\b|new year(?:'?s)?(?: eve| day)?\b|thanksgiving\b|easter\b"
    r"|labor day\b|memorial day\b|tomorrow\b|today\b|tonight\b|holidays\b|\d\d?(?:st|nd|rd|th)\b(?! (?:floor|st\b|street|ave)))"
)
_NAMED = re.compile(
    r"(?i)(?<![\w\"'/])"
    r"(?:(?:need(?:ed|s)?|want(?:ed|s)?|required?|due|deliver(?:ed|y)?|deadline|install(?:ed|ation|ing)?)"
    r"(?: (?:it|them|these|those|this|all|everything|parts?|date|is|are|in|here|ready)){0,3}"
    # Without a word of time a number with a stroke is a size: need 5/8.
    r"(?: (?:by|before|on|until|no later than|not later than|for)|(?!:? \d\d?/))"
    r"|by|before|until|no later than|not later than|in time for)"
    rf":? (?:(?P<weekday>{_WEEKDAY}),? (?:the )?)?(?:(?P<calendar>{_CALENDAR})|{_IN_WORDS})"
)
_SIZE_BEFORE = re.compile(r"(?i)[\d\"'](?: ?(?:in|ft|mm|cm|inch|inches|wide|high|tall))?\s*$")


def named_days(text: str, today: date) -> tuple[NamedDay, ...]:
    """The days that a message names, in its order; what was written in earlier mails is left out.

    A day without a year is the next one that comes.
    """
    shown = plain(text)
    shown = blank(shown, quoted(shown))
    found: list[NamedDay] = []
    for match in _NAMED.finditer(shown):
        beside_a_size = (
            match["one"]
            and match[0][:2].lower() == "by"
            and _SIZE_BEFORE.search(shown[max(0, match.start() - 20) : match.start()])
        )
        if not beside_a_size:
            words = Stretch.of(text, match.start(), match.end())
            found.append(NamedDay(words, _on(match, today)))
    return tuple(found)


def the_day(found: tuple[NamedDay, ...]) -> date | None:
    """The one day of the calendar that a message names; None where it names several, or none for certain."""
    days = {named.on for named in found}
    return days.pop() if len(days) == 1 else None


def _on(match: re.Match[str], today: date) -> date | None:
    if match["calendar"] is None:
        return None
    if match["y"]:
        days = {_day(int(match["y"]), int(match["m"]), int(match["d"]), today)}
    elif match["one"]:
        one, other = int(match["one"]), int(match["other"])
        days = {_day(match["year3"], *pair, today) for pair in ((one, other), (other, one))} - {
            None
        }
    else:
        month = _MONTHS.index((match["month"] or match["month2"])[:3].lower()) + 1
        day = int(match["day"] or match["day2"])
        days = {_day(match["year"] or match["year2"], month, day, today)}
    on = days.pop() if len(days) == 1 else None
    # A day that is over is a slip of the pen; which day was meant, only the writer knows.
    if on is None or on < today or not _falls_on(match["weekday"], on):
        return None
    return on


def _day(year: str | int | None, month: int, day: int, today: date) -> date | None:
    """That day; without a year the next one that comes. None where there is no such day."""
    with suppress(ValueError):
        if year:
            return date(int(year) if int(year) > 99 else 2000 + int(year), month, day)
        on = date(today.year, month, day)
        return on if on >= today else date(today.year + 1, month, day)
    return None


def _falls_on(weekday: str | None, on: date) -> bool:
    return weekday is None or f"{on:%a}".lower() == weekday[:3].lower()
