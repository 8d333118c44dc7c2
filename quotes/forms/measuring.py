"""The form of the public measuring page: one opening of one family, and whom to answer."""

from __future__ import annotations

import uuid
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from quotes.measuring import places
from quotes.said import SaidOpening, SaidRequest
from sizing.own_words import Form
from sizing.table import SizeTable, said_in
from sizing.tokens import LONGEST_TEXT
from sizing.wording import language

MEASURE = "m-"


class MeasuringForm(Form):
    """Bound to a post it always yields `said`; valid to send only with somebody to answer."""

    caller = forms.CharField(
        label=_("Your name"),
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    phone = forms.CharField(
        label=_("Phone"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "tel", "inputmode": "tel"}),
    )
    email = forms.EmailField(
        label=_("E-mail"),
        required=False,
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
        error_messages={"invalid": _("This is no e-mail address: type one like name@place.com.")},
    )
    label = forms.CharField(
        label=_("Which window"),
        max_length=80,
        required=False,
        help_text=_("Such as: kitchen, left."),
    )
    quantity = forms.IntegerField(
        label=_("How many like this"),
        min_value=1,
        max_value=500,
        initial=1,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "invalid": _("The count is no whole number: type 1 or more."),
            "min_value": _("The count is below 1: type 1 or more."),
            "max_value": _("The count is over 500: call us for so many."),
        },
    )
    finish = forms.ChoiceField(label=_("Finish"), required=False)
    note = forms.CharField(
        label=_("Anything else"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    page = forms.UUIDField(required=False, widget=forms.HiddenInput)

    def __init__(self, table: SizeTable, data: Any = None, *, sending: bool = False) -> None:
        super().__init__(data, initial={"page": uuid.uuid4()}, use_required_attribute=False)
        self.table = table
        self.sending = sending
        self.places = places(table)
        for place in self.places:
            self.fields[MEASURE + place.measure.code] = forms.CharField(
                label=place.label,
                max_length=LONGEST_TEXT,
                required=False,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
                error_messages={"max_length": _("Type only one measure here.")},
            )
        finishes = [(f, said_in(language(), table, f)) for f in table.finishes if f]
        if finishes:
            self.fields["finish"].choices = [("", _("not sure yet")), *finishes]
        else:
            del self.fields["finish"]

    @property
    def boxes(self) -> list[tuple[Any, forms.BoundField]]:
        return [(place, self[MEASURE + place.measure.code]) for place in self.places]

    @property
    def about(self) -> list[forms.BoundField]:
        return [self[n] for n in ("label", "quantity", "finish") if n in self.fields]

    @property
    def whom(self) -> list[forms.BoundField]:
        return [self[n] for n in ("caller", "phone", "email", "note")]

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if self.sending:
            if not said.get("caller") and "caller" not in self.errors:
                self.add_error("caller", _("Type your name, so that we know whose window it is."))
            if not (said.get("phone") or said.get("email") or "email" in self.errors):
                self.add_error(
                    "phone", _("Type a phone number or an e-mail, so that we can answer.")
                )
            if not any(said.get(MEASURE + place.measure.code) for place in self.places):
                first = MEASURE + self.places[0].measure.code
                self.add_error(first, _("Type at least one measure."))
        return said

    @property
    def opening(self) -> SaidOpening:
        """What was typed of the window, as far as it is no nonsense."""
        said = getattr(self, "cleaned_data", {})
        return SaidOpening(
            family=self.table.code,
            label=said.get("label", ""),
            measures={p.measure.code: said.get(MEASURE + p.measure.code, "") for p in self.places},
            finish=said.get("finish", ""),
            quantity=said.get("quantity") or 1,
        )

    @property
    def said(self) -> SaidRequest:
        said = self.cleaned_data
        note = "\n".join(t for t in ("Sent from the measuring page.", said.get("note", "")) if t)
        return SaidRequest(
            caller=said["caller"],
            phone=said["phone"],
            email=said["email"],
            note=note,
            language=language(),
            openings=(self.opening,),
        )

    def show_problems(self, problems: dict[str, str]) -> None:
        """Put what the resolver could not read beside its box."""
        for code, sentence in problems.items():
            name = MEASURE + code if MEASURE + code in self.fields else code
            self.add_error(name if name in self.fields else None, sentence)
