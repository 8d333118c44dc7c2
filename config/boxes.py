"""Draws the boxes of forms without a template each: a page with fifty boxes spends its time elsewhere.

The same elements as Django's own templates give, which `tests/access/test_boxes_are_drawn_alike.py` holds;
whatever is not in `DRAWN` is left to those.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.forms.renderers import DjangoTemplates
from django.http import HttpRequest
from django.utils.html import conditional_escape as escape
from django.utils.safestring import SafeString, mark_safe


class Boxes(DjangoTemplates):
    """The FORM_RENDERER of the settings."""

    def render(
        self, template_name: str, context: dict[str, Any], request: HttpRequest | None = None
    ) -> SafeString:
        draw = DRAWN.get(template_name.removeprefix("django/forms/widgets/"))
        if draw is None:
            return super().render(template_name, context, request)
        return mark_safe(draw(context["widget"]))  # noqa: S308 (escaped piece by piece)


def _attributes(said: Mapping[str, Any]) -> str:
    return "".join(
        f" {name}" if value is True else f' {name}="{escape(str(value))}"'
        for name, value in said.items()
        if value is not False
    )


def _input(box: Mapping[str, Any]) -> str:
    value = "" if box["value"] is None else f' value="{escape(str(box["value"]))}"'
    return f'<input type="{box["type"]}" name="{escape(box["name"])}"{value}{_attributes(box["attrs"])}>'


def _textarea(box: Mapping[str, Any]) -> str:
    # A line break that stands first is the element's own, not the text's.
    text = escape(str(box["value"])) if box["value"] else ""
    return f'<textarea name="{escape(box["name"])}"{_attributes(box["attrs"])}>\n{text}</textarea>'


def _select(box: Mapping[str, Any]) -> str:
    inside = []
    for group, options, _ in box["optgroups"]:
        drawn = "".join(
            f'<option value="{escape(str(one["value"]))}"{_attributes(one["attrs"])}>{escape(one["label"])}</option>'
            for one in options
        )
        inside.append(f'<optgroup label="{escape(group)}">{drawn}</optgroup>' if group else drawn)
    return f'<select name="{escape(box["name"])}"{_attributes(box["attrs"])}>{"".join(inside)}</select>'


DRAWN: dict[str, Callable[[Mapping[str, Any]], str]] = {
    **dict.fromkeys(
        ("input.html", "text.html", "number.html", "email.html", "password.html", "hidden.html",
         "date.html", "checkbox.html"), _input,
    ),
    "textarea.html": _textarea,
    "select.html": _select,
}  # fmt: skip
