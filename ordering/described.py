"""A line of an order in words, for who reads them: as kept for desk and factory, else in the reader's language."""

from __future__ import annotations

from datetime import date

from ordering.models import OrderLine
from ordering.states import Step
from quotes.days import long_date
from quotes.documents.naming import describe, describe_part
from sizing.models import Family
from sizing.wording import language


def described(line: OrderLine) -> str:
    if language() == "en":
        return line.description
    source = line.remake_of or line
    if source.quote_line:
        return describe(source.quote_line)
    return describe_part(line.part) if line.part else line.description


def not_made(part_number: str, family: Family | None, on: date) -> str:
    """Of a part that its factory makes no more on a day, for the desk: since when, as a clause. Empty of all else,
    also of a special, which its factory has priced by itself."""
    if not part_number or family is None or family.is_made(on):
        return ""
    return f"{part_number} has not been made since {long_date(family.not_made_from)}"


def given_up(line: OrderLine, on: date) -> str:
    """The same of a line that its factory is still to be sent, which waits until somebody has asked it."""
    waits = line.step == Step.PLACED and line.factory_id
    return not_made(line.part_number, line.family, on) if waits else ""
