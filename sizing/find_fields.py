"""What a list is narrowed by: a form of the address, and the fields that several lists have."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from time import monotonic
from typing import Any

from django import forms
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from sizing.day_field import DayField
from sizing.models import Family
from sizing.own_words import Form
from sizing.people import names
from sizing.remembered import remembered

# Seconds for which a drawing serves: what a day that is typed without its year says hangs on today.
KEPT = 600


class Find(Form):
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
    def narrowing(self) -> SafeString:
        """The fields of `others` as the page has them. Nearly every asking of a list is the same to them."""
        fields = self.fields.items()
        said = tuple(
            (n, self.data.get(n), tuple(getattr(f, "choices", ()))) for n, f in fields if n != "q"
        )
        return _drawn(_Narrowing(type(self), self.narrows, said, int(monotonic() // KEPT), self))


@dataclass(frozen=True)
class _Narrowing:
    """All that a drawing depends on, and a form that is so."""

    kind: type[Find]
    narrows: bool
    said: tuple[Any, ...]
    minutes: int
    find: Find = field(compare=False)


@lru_cache(maxsize=200)
def _drawn(asked: _Narrowing) -> SafeString:
    return render_to_string("list/narrow.html", {"find": asked.find})


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


def person_field(
    label: str, others: Callable[[], Iterable[tuple[str, str]]] = tuple
) -> forms.ChoiceField:
    """Somebody of the desk, by name, and then `others` that are nobody: what they are kept by, and what they are
    called."""

    def every() -> list[tuple[str, str]]:
        return [*sorted(names().items(), key=lambda one: one[1].casefold()), *others()]

    return choice_field(label, every, "anybody")


def day_field(label: str) -> forms.DateField:
    return DayField(label=label, required=False)
