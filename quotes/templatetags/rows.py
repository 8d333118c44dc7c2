"""For every template: {{ on|day }}, {{ at|minute }}, {{ order.pk|link_to:"order" }}, {{ answer.text|unbroken }}, at a fraction of Django's own time."""

import re

from django import template
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString

from quotes.cells import address, day, minute
from sizing.lengths import unbroken

register = template.Library()
register.filter("day", day)
register.filter("minute", minute)
register.filter("link_to", address)
register.filter("unbroken", unbroken, is_safe=True)

# OHL-05MS, 4500-1187: a hyphen at which a narrow page would break it. 2-6 is a measure; what is longer than a phone's
# line has to be broken somewhere.
_NUMBER = re.compile(
    r"(?<![\w-])(?=[\w-]*\d)(?=[\w-]*[^\W\d_]|(?:\d-?){6})(?=[\w-]{3,28}(?![\w-]))\w+(?:-\w+)+"
)


@register.filter
def whole_numbers(text: str) -> SafeString:
    """The text with each number that has a hyphen kept in one line; half of a part number is another part, half of
    a customer's own number is nobody's."""
    return SafeString(_NUMBER.sub(r'<span class="one-line">\g<0></span>', conditional_escape(text)))
