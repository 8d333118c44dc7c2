"""What every list writes in each of its rows: days, moments and addresses, at a fraction of Django's own time."""

from __future__ import annotations

from datetime import date, datetime
from functools import cache

from django import template
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from quotes.days import short_date

register = template.Library()


@register.filter
def day(on: date | None) -> str:
    """7 Dec 2026; of a moment the shop's day."""
    if isinstance(on, datetime):
        on = timezone.localtime(on)
    return short_date(on) if on else ""


@register.filter
def minute(at: datetime | None) -> str:
    """7 Dec 2026, 14:05, by the shop's clock."""
    if not at:
        return ""
    here = timezone.localtime(at)
    return f"{short_date(here)}, {here:%H:%M}"


@register.filter
def link_to(key: int, name: str) -> SafeString:
    """The address of the page of that name about the thing with that key."""
    before, after = _around(name)
    return mark_safe(f"{before}{int(key)}{after}")  # noqa: S308 (a number between parts of our own)


@cache
def _around(name: str) -> tuple[str, str]:
    before, _, after = reverse(name, args=[0]).rpartition("0")
    return before, after
