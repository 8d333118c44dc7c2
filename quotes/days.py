"""Days as letters, pages and papers write them."""

from __future__ import annotations

from datetime import date


def long_date(day: date) -> str:
    """7 December 2026"""
    return f"{day.day} {day:%B %Y}"


def short_date(day: date) -> str:
    """7 Dec 2026"""
    return f"{day.day} {day:%b %Y}"
