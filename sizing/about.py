"""A number said as "about": what a caller remembers of a size, not what a tape showed."""

from __future__ import annotations

import re

from sizing.lengths import PER_INCH, PER_MM, Length, Unit, format_length

# How far such a number may well be from what the tape would show: people round to the inch or to 5 cm.
REACH = {Unit.INCH: Length(PER_INCH), Unit.MM: Length(25 * PER_MM)}
_BEFORE = re.compile(
    r"^\s*(?:(?:(?:just |somewhere |maybe )?(?:about|abt|around|roughly|approximately|approx|circa|ca|c)"
    r"|(?:just|a (?:bit|little|hair|touch)) (?:over|under|above|below|more than|less than|shy of|short of)"
    r"|maybe|probably|nearly|almost|close to|aproximadamente|aprox|unos|unas|casi)\b\.?|[~≈])\s*",
    re.IGNORECASE,
)
_AFTER = re.compile(
    r"[\s,]*\b(?:or so|and a (?:bit|little|hair|touch)|maybe|or thereabouts|about|roughly|approximately|approx|more or less|give or take"
    r"|aproximadamente|aprox|más o menos)\s*\.?\s*$",
    re.IGNORECASE,
)
_ISH = re.compile(r"(?<=\w)[\s-]?ish\b", re.IGNORECASE)


def said_as_about(text: str) -> tuple[str, bool]:
    """The text without the words that make it an "about", and whether it had any."""
    if len(text) > 100:
        return text, False
    plain = _ISH.sub("", _AFTER.sub("", _BEFORE.sub("", text)))
    return (plain, True) if plain.strip() and plain != text else (text, False)


def reach_in_words(unit: Unit) -> str:
    return format_length(REACH[unit], unit, mark=True)
