"""What a list is narrowed by: a form of the address, and the fields that several lists have."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from typing import Any

from django import forms

from sizing.day_field import DayField
from sizing.models import Family
from sizing.remembered import remembered


class Find(forms.Form):
    """What narrows a list: plain fields of the address. A field that says nothing readable narrows nothing."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        super().__init__(data, auto_id="%s")

    @cached_property
    def said(self) -> dict[str, Any]:
        """{field: what it says}, "" where it says nothing."""
        self.is_valid()
        return {name: self.cleaned_data.get(name) or "" for name in self.fields}

    @property
    def narrows(self) -> bool:
        """Whether anything besides the words is asked for."""
        return any(value for name, value in self.said.items() if name != "q") or bool(
            set(self.errors) - {"q"}
        )

    @property
    def others(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name != "q"]

    @property
    def drawn_by(self) -> str:
        """All that the drawing of `others` depends on."""
        others = [
            (self.data.get(box.name), list(getattr(box.field, "choices", ())))
            for box in self.others
        ]
        return repr((type(self), self.narrows, others))


def words_field(label: str, **attributes: str) -> forms.CharField:
    box = forms.CharField(
        label=label,
        required=False,
        max_length=200,
        widget=forms.TextInput({"type": "search", **attributes}),
        error_messages={"max_length": "That is more than can be looked for: use fewer words."},
    )
    box.widget.attrs.pop("maxlength", None)
    return box


def choice_field(
    label: str,
    choices: Iterable[tuple[Any, str]] | Callable[[], Iterable[tuple[Any, str]]],
    any_of: str = "any",
) -> forms.ChoiceField:
    """`choices` that are called for are asked on each page."""

    def every() -> list[tuple[Any, str]]:
        return [("", any_of), *(choices() if callable(choices) else choices)]

    return forms.ChoiceField(
        label=label,
        required=False,
        choices=every if callable(choices) else every(),
        error_messages={"invalid_choice": "No such choice: take one of the list."},
    )


@remembered(Family)
def _families() -> list[tuple[str, str]]:
    return list(Family.objects.order_by("name").values_list("code", "name"))


def family_field() -> forms.ChoiceField:
    return choice_field("Family", _families)


def day_field(label: str) -> forms.DateField:
    return DayField(label=label, required=False)
