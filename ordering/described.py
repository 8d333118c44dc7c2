"""A line of an order in words, for who reads them: as kept for desk and factory, else in the reader's language."""

from __future__ import annotations

from ordering.models import OrderLine
from quotes.documents.compose import describe, describe_part
from sizing.wording import language


def described(line: OrderLine) -> str:
    if language() == "en":
        return line.description
    source = line.remake_of or line
    if source.quote_line:
        return describe(source.quote_line)
    return describe_part(line.part) if line.part else line.description
