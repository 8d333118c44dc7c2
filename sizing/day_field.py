"""A day as it is typed into a form, and the one sentence about what is none."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

LONGEST = 40


def no_day(box: str, typed: str) -> str:
    """With the box's name: a form's summary stands apart from its boxes."""
    return f"{box}: “{typed[:LONGEST]}” is no day; type it like 2031-05-14."


class DayField(forms.DateField):
    def __init__(self, *, label: str, **more: Any) -> None:
        widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        super().__init__(label=label, widget=widget, **more)

    def to_python(self, value: Any) -> date | None:
        try:
            return super().to_python(value)
        except forms.ValidationError:
            raise forms.ValidationError(no_day(str(self.label), str(value).strip())) from None
