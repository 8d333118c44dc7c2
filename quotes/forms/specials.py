"""Forms of the specials: the desk's price, a flag, a question of lead time."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from quotes.forms.amount_field import AmountField
from quotes.forms.factory_answer import DECIMAL, NUMBER, PRICE
from quotes.models import Request
from sizing.models import Part
from sizing.own_words import Form


class PriceForm(Form):
    """A price by hand; left empty, the margin rule prices it."""

    unit_price = AmountField(
        required=False, widget=DECIMAL, min_value=0,
        help_text="Leave it empty to price by the margin rule.", **PRICE,
    )  # fmt: skip
    why = forms.CharField(label="Why this price", required=False, max_length=500)

    def __init__(self, unit: str, data: Mapping[str, str] | None = None) -> None:
        super().__init__(data)
        self.fields["unit_price"].label = f"Price of one {unit} by hand"

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if said.get("unit_price") is not None and not said.get("why"):
            self.add_error("why", "Say why it is priced by hand: the reason is kept with it.")
        return said


class FlagForm(Form):
    words = forms.CharField(
        label="Words for the factory",
        required=False,
        max_length=2000,
        help_text="Why it is special, and what the factory should know.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    why = forms.CharField(label="Why", required=False, max_length=500)


class LeadTimeForm(Form):
    """Which part, and how many, to ask a lead time for."""

    part_number = forms.CharField(
        label="Part number",
        max_length=60,
        widget=forms.TextInput(attrs={"list": "parts", "autocomplete": "off"}),
        error_messages={"required": "Type the part's number."},
    )
    quantity = forms.IntegerField(min_value=1, max_value=9999, initial=1, widget=NUMBER)
    words = forms.CharField(
        label="Words for the factory",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, use_required_attribute=False, **kwargs)
        openings = request.openings.select_related("part", "override_part")
        self.parts = [p for o in openings if (p := o.override_part or o.part)]

    def clean_part_number(self) -> str:
        number = self.cleaned_data["part_number"].strip()
        found = (
            Part.objects.filter(part_number__iexact=number, revision__in_force_from__isnull=False)
            .order_by("-revision__in_force_from", "-revision__number")
            .first()
        )
        if found is None:
            raise forms.ValidationError(f"“{number}” is no part of any family: check its number.")
        self.part = found
        return number
