"""Amounts in templates, written as on the papers."""

from collections.abc import Mapping
from decimal import Decimal

from django import template

from quotes.documents.content import LineRow, show_amount, show_price
from sizing.lengths import Length, Unit, format_length
from sizing.people import name_of
from sizing.weights import Weight, WeightUnit, format_weight

register = template.Library()
register.filter("amount", show_amount)
register.filter("price", show_price)
register.filter("person", name_of)


@register.filter
def off(line: LineRow, currency: str) -> Decimal | None:
    """All that comes off a line."""
    return line.off(currency)


@register.filter
def at(found: Mapping[int, str], key: int) -> str:
    """What a mapping has for a key that only the page knows."""
    return found.get(key, "")


@register.filter
def plain(number: Decimal) -> str:
    """2.5000 as 2.5"""
    return f"{number.normalize():f}"


@register.filter
def lengths(length: int | None) -> str:
    """A limit on both rulers: 48 in (1219.2 mm)"""
    if length is None:
        return "no limit"
    inches, mm = (format_length(Length(length), unit, mark=True) for unit in Unit)
    return f"{inches} ({mm})"


@register.filter
def weights(weight: int | None) -> str:
    if weight is None:
        return "no limit"
    pounds, kilograms = (format_weight(Weight(weight), unit) for unit in WeightUnit)
    return f"{pounds} ({kilograms})"
