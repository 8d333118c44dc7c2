"""Amounts in templates, written as on the papers."""

from decimal import Decimal

from django import template

from quotes.documents.content import show_amount, show_price

register = template.Library()
register.filter("amount", show_amount)
register.filter("price", show_price)


@register.filter
def plain(number: Decimal) -> str:
    """2.5000 as 2.5"""
    return f"{number.normalize():f}"
