"""For every template: {{ on|day }}, {{ at|minute }}, {{ order.pk|link_to:"order" }}, {{ answer.text|unbroken }}, at a fraction of Django's own time."""

from django import template

from quotes.cells import address, day, minute
from sizing.lengths import unbroken

register = template.Library()
register.filter("day", day)
register.filter("minute", minute)
register.filter("link_to", address)
register.filter("unbroken", unbroken, is_safe=True)
