"""Days as letters, pages and papers write them, in the reader's language. Pure."""

from __future__ import annotations

from datetime import date

from sizing.wording import N_, pgettext
from sizing.wording import gettext as _

MONTHS = (
    N_("January"), N_("February"), N_("March"), N_("April"), N_("May"), N_("June"), N_("July"),
    N_("August"), N_("September"), N_("October"), N_("November"), N_("December"),
)  # fmt: skip


def long_date(day: date) -> str:
    """7 December 2026"""
    return _("{day} {month} {year}").format(day=day.day, month=month_name(day), year=day.year)


def day_and_month(day: date) -> str:
    """7 December"""
    return _("{day} {month}").format(day=day.day, month=month_name(day))


def short_date(day: date) -> str:
    """7 Dec 2026"""
    return f"{short_day(day)} {day.year}"


def short_day(day: date) -> str:
    """7 Dec"""
    return f"{day.day} {_short_month(day)}"


def month_name(day: date) -> str:
    return _(MONTHS[day.month - 1])


# Each asked for when it is needed: a list writes a day in every row.
_SHORT_MONTHS = (
    lambda: pgettext("short month", "Jan"),
    lambda: pgettext("short month", "Feb"),
    lambda: pgettext("short month", "Mar"),
    lambda: pgettext("short month", "Apr"),
    lambda: pgettext("short month", "May"),
    lambda: pgettext("short month", "Jun"),
    lambda: pgettext("short month", "Jul"),
    lambda: pgettext("short month", "Aug"),
    lambda: pgettext("short month", "Sep"),
    lambda: pgettext("short month", "Oct"),
    lambda: pgettext("short month", "Nov"),
    lambda: pgettext("short month", "Dec"),
)


def _short_month(day: date) -> str:
    return _SHORT_MONTHS[day.month - 1]()
