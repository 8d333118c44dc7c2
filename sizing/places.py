"""Countries by ISO 3166 and their parts by its second half: what is typed, as a code or as a name. Knows no Django."""

from __future__ import annotations

from functools import lru_cache

import holidays
from babel import Locale

LONGEST = 3
LANGUAGE = "en"
# Codes that the Unicode tables name and ISO 3166 gives to no country, or keeps for the mail of an island.
_NO_COUNTRY = frozenset({"EU", "EZ", "QO", "UN", "XA", "XB", "XK", "ZZ"}) | frozenset(
    {"AC", "CP", "CQ", "DG", "EA", "IC", "TA"}
)
# Their parts are all in the calendars' list; of other countries it names only those with holidays of their own.
_LISTED_WHOLE = ("AU", "CA", "US")
# Where the mail of the forces goes instead of a state.
_FORCES = ("AA", "AE", "AP")


class PlaceError(ValueError):
    """What is no country, or no part of its country: one sentence."""


@lru_cache(maxsize=1)
def countries() -> tuple[tuple[str, str], ...]:
    """(ISO 3166 code, name), by name."""
    names = Locale.parse(LANGUAGE).territories
    found = [(code, name) for code, name in names.items() if len(code) == 2 and code.isalpha()]
    return tuple(sorted((c for c in found if c[0] not in _NO_COUNTRY), key=lambda c: c[1]))


def country_of(typed: str) -> str:
    """The code of what was typed: “de” and “Germany” are DE. Blank stays blank.

    Raises PlaceError for what is no country: it is never cut to the letters of another one.
    """
    name = " ".join(typed.split())
    for code, called in countries():
        if name.casefold() in (code.casefold(), called.casefold()):
            return code
    if name:
        raise PlaceError(f"“{name}” is no country: choose one from the list.")
    return ""


def region_of(country: str, typed: str) -> str:
    """The code of what was typed: “pa” and “Pennsylvania” are PA. Blank stays blank.

    `country` is an ISO 3166 code. Raises PlaceError for what can't be a code, and for what is no part of
    a country whose parts are all known: a rate or an address there would meet nothing without a word.
    """
    name = " ".join(typed.split())
    codes, named = _parts(country)
    code = named.get(name.casefold(), name.upper())
    if code and country in _LISTED_WHOLE and code not in (*codes, *_FORCES):
        raise PlaceError(f"“{name}” is no part of {country}; there are {', '.join(codes)}.")
    if not (code.isascii() and (not code or code.isalnum()) and len(code) <= LONGEST):
        raise PlaceError(f"“{name}” is no code: type up to {LONGEST} letters.")
    return code


@lru_cache(maxsize=64)
def _parts(country: str) -> tuple[tuple[str, ...], dict[str, str]]:
    """The codes of a country's parts, and each code by its name."""
    known = holidays.list_supported_countries(include_aliases=False)
    if country not in known:
        return (), {}
    named = holidays.country_holidays(country).subdivisions_aliases
    return tuple(known[country]), {name.casefold(): code for name, code in named.items()}
