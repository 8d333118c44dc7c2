"""What the cells of lists show: days, moments, links and other people's words.

A page writes hundreds of them, so none is a template of its own; what is not ours is escaped here.
"""

from __future__ import annotations

from datetime import date, datetime
from functools import cache
from html import escape

from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString

from quotes.days import short_date
from sizing.lists import escaped


def day(on: date | None) -> str:
    """7 Dec 2026; of a moment the shop's day."""
    if isinstance(on, datetime):
        on = timezone.localtime(on)
    return short_date(on) if on else ""


def minute(at: datetime | None) -> str:
    """7 Dec 2026, 14:05, by the shop's clock."""
    if not at:
        return ""
    here = timezone.localtime(at)
    return f"{short_date(here)}, {here:%H:%M}"


def address(key: int, page: str) -> SafeString:
    """The address of the page of that name about the thing with that key."""
    before, after = _around(page)
    return SafeString(f"{before}{int(key)}{after}")


@cache
def _around(page: str) -> tuple[str, str]:
    before, _, after = reverse(page, args=[0]).rpartition("0")
    return before, after


def link(page: str, key: int, words: object, css: str = "") -> SafeString:
    """A link to that page about that thing."""
    look = f' class="{css}"' if css else ""
    return SafeString(f'<a{look} href="{address(key, page)}">{escaped(words)}</a>')


def theirs(words: object) -> SafeString:
    """Somebody's own words, whichever way their writing runs."""
    return SafeString(f"<bdi>{escape(str(words))}</bdi>")


def faint(words: str, css: str = "") -> SafeString:
    """A remark."""
    return SafeString(f'<span class="{f"faint {css}".strip()}">{escape(words)}</span>')


def unseen(words: object) -> SafeString:
    """For whoever is read to."""
    return SafeString(f'<span class="unseen"> {escaped(words)}</span>')


def beside(*parts: str, between: str = " ") -> SafeString:
    """One after the other."""
    return SafeString(between.join(map(escaped, parts)))
