"""The form that a filled-in window schedule is brought in by."""

from __future__ import annotations

from typing import Any

from django import forms

from quotes.desk.schedules import Sender
from quotes.schedule import MOST_LINES
from sizing.own_words import Form
from sizing.workbook import MOST_FILE_BYTES


class SenderForm(Form):
    """Who sent it; nothing of it has to be known."""

    caller = forms.CharField(label="Sent by", max_length=120, required=False)
    phone = forms.CharField(max_length=40, required=False)
    email = forms.EmailField(label="E-mail", required=False)

    @property
    def sender(self) -> Sender:
        return Sender(*(self.cleaned_data[name] for name in ("caller", "phone", "email")))


class UploadForm(SenderForm):
    field_order = ("family", "workbook")
    family = forms.ChoiceField(label="Family of parts")
    workbook = forms.FileField(
        label="Filled-in workbook (.xlsx)",
        help_text=f"Up to {MOST_LINES:,} lines and {MOST_FILE_BYTES // 1_000_000} MB. Columns in any "
        "order; the sender's own are kept.",
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx"}),
        error_messages={
            "required": "No file was chosen: choose the workbook first.",
            "empty": "The file is empty: save the workbook again and choose it anew.",
        },
    )

    def __init__(self, families: list[tuple[str, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["family"].choices = families
