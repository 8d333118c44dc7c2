"""The box that takes the message."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from quotes.messages import LONGEST
from sizing.models import Revision
from sizing.own_words import Form

NOTHING = "Nothing to read yet: paste the message, or type the note."


class MessageField(forms.CharField):
    """Text with one kind of line end and without NUL, which no database of ours keeps."""

    def to_python(self, value: Any) -> str:
        return plain_lines(super().to_python(value))


class PasteForm(Form):
    """The message, and the family whose words it is read by."""

    family = forms.ChoiceField(label="Family")
    # No longest length in the box: a browser would cut what is pasted without a word.
    text = MessageField(
        label="The customer's e-mail, or your note of the call",
        strip=False,
        widget=forms.Textarea(attrs={"rows": 12, "autocomplete": "off"}),
        error_messages={"required": NOTHING},
    )

    def __init__(
        self,
        data: Mapping[str, Any] | None,
        revisions: Mapping[str, Revision],
        initial: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(data, auto_id="%s", initial=initial, use_required_attribute=False)
        self.fields["family"].choices = [(code, r.name) for code, r in revisions.items()]
        for name in self.fields:
            self.fields[name].widget.attrs["aria-describedby"] = f"{name}_error"

    def clean_text(self) -> str:
        text = self.cleaned_data["text"]
        if not text.strip():
            raise forms.ValidationError(NOTHING)
        if len(text) > LONGEST:
            raise forms.ValidationError(
                f"The message has {len(text):,} characters and the desk reads up to {LONGEST:,}: "
                "take out what is not about windows, or read it in two halves."
            )
        return text


def plain_lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "")
