"""Pieces and pairs with their count, in the reader's language. Pure."""

from __future__ import annotations

from sizing.wording import gettext as _
from sizing.wording import ngettext


def counted(count: int, unit: str) -> str:
    """1 piece, 2 pairs; `unit` is "piece" or "pair"."""
    if unit == "pair":
        return ngettext("{count} pair", "{count} pairs", count).format(count=count)
    return ngettext("{count} piece", "{count} pieces", count).format(count=count)


def unit_name(unit: str) -> str:
    """piece or pair"""
    return _("pair") if unit == "pair" else _("piece")


def weeks_in_words(low: int, high: int) -> str:
    """4 to 6 weeks, 1 week"""
    if low == high:
        return ngettext("{count} week", "{count} weeks", low).format(count=low)
    return _("{low} to {high} weeks").format(low=low, high=high)
