"""What the cells of lists show: days, moments, links and other people's words.

A page writes hundreds of them, so none is a template of its own; what is not ours is escaped here.
"""

from __future__ import annotations

from datetime import date, datetime
from functools import cache

from django.urls import reverse
from django.utils import timezone
from django.utils.html import conditional_escape, escape
from django.utils.safestring import SafeString, mark_safe

from quotes.days import short_date


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
    return mark_safe(f"{before}{int(key)}{after}")  # noqa: S308 (a number between parts of our own)


@cache
def _around(page: str) -> tuple[str, str]:
    before, _, after = reverse(page, args=[0]).rpartition("0")
    return before, after


def link(page: str, key: int, words: object, css: str = "") -> SafeString:
    """A link to that page about that thing."""
    look = f' class="{escape(css)}"' if css else ""
    return mark_safe(f'<a{look} href="{address(key, page)}">{conditional_escape(words)}</a>')  # noqa: S308


def theirs(words: object) -> SafeString:
    """Somebody's own words, whichever way their writing runs."""
    return mark_safe(f"<bdi>{escape(words)}</bdi>")  # noqa: S308


def faint(words: str, css: str = "") -> SafeString:
    """A remark."""
    look = f"faint {escape(css)}".strip()
    return mark_safe(f'<span class="{look}">{escape(words)}</span>')  # noqa: S308


def beside(*parts: SafeString) -> SafeString:
    """One after the other, with a space between."""
    return mark_safe(" ".join(parts))  # noqa: S308
