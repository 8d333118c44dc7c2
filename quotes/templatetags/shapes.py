"""Small signs that stand beside a word, so that no state is told by colour alone."""

from django import template
from django.utils.safestring import SafeString, mark_safe

register = template.Library()

TRIANGLE = '<path d="M10 2.5l8.5 15h-17z"/><path d="M10 8v4.5m0 1.6v.6"/>'
CROSS = '<path d="M4 4l12 12M16 4L4 16"/>'
CIRCLE = '<circle cx="10" cy="10" r="7"/>'
LINES = {
    "part": '<rect class="solid" x="3" y="3" width="14" height="14"/>',
    "ask": (
        '<path d="M10 1.5l8.5 8.5-8.5 8.5L1.5 10z"/>'
        '<path d="M7.6 8a2.4 2.4 0 1 1 3.4 2.2c-.8.4-1 .8-1 1.6m0 1.9v.5"/>'
    ),
    "special": TRIANGLE,
    "slip": TRIANGLE,
    "caution": TRIANGLE,
    "error": CROSS,
    "misfit": CROSS,
    "agrees": '<path d="M3 10.5l5 5L17.5 5"/>',
    "taken": '<path d="M2 10h15m-6-6l6 6-6 6"/>',
}
DRAWN = {
    name: mark_safe(  # noqa: S308 - constants only
        f'<svg class="shape" viewBox="0 0 20 20" aria-hidden="true" focusable="false">{lines}</svg>'
    )
    for name, lines in {**LINES, "": CIRCLE}.items()
}


@register.filter
def shape(name: str) -> SafeString:
    """The sign of a state, hidden from screen readers: {{ "slip"|shape }}. A circle for any other."""
    return DRAWN.get(name, DRAWN[""])
