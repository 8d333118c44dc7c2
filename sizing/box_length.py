"""How much a box takes. A browser stops there; a program that sends more is told, and nothing is cut."""

from __future__ import annotations


def too_long(typed: str, most: int, box: str) -> str:
    """One sentence where more was typed into a box than it takes, else nothing. A line break is one letter, as
    browsers count, and space around the words none."""
    count = len(typed.strip().replace("\r\n", "\n"))
    if count <= most:
        return ""
    return f"{box}: {count} letters are too many, {most} fit. Shorten it."
