"""Forms of the prices page. A list is typed one step a line, so that it is always whole."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS

from quotes.freight import Limits
from quotes.models import MarginRule, TaxRate, Terms
from sizing.day_field import DayField
from sizing.lengths import LengthError, Unit, parse_length
from sizing.models import Family
from sizing.numerals import whole_number
from sizing.own_words import Form, ModelForm
from sizing.place_fields import CountryField, RegionField, read_region
from sizing.prices import no_money
from sizing.weights import WeightError, WeightUnit, parse_weight

_NONE = ("", "-", "none")
MOST_LINES = 200


_FROM = "In force from"
_TWICE = {
    NON_FIELD_ERRORS: {
        "unique_together": "There is one like that from that day on already: take it back first, or choose another day."
    }
}


class _ModelForm(ModelForm):
    use_required_attribute = False
    in_force_from = DayField(label=_FROM)


class TermsForm(_ModelForm):
    class Meta:
        model = Terms
        error_messages = _TWICE
        fields = ("name", "in_force_from", "discount_percent", "deposit_percent", "net_days")
        labels = {
            "discount_percent": "Off list, %",
            "deposit_percent": "To pay on accepting, %",
            "net_days": "Days to pay",
        }


class MarginForm(_ModelForm):
    class Meta:
        model = MarginRule
        error_messages = _TWICE
        fields = ("family", "currency", "in_force_from", "percent", "check_over")
        labels = {
            "percent": "On the factory's cost, %",
            "check_over": "A manager checks totals over (empty: none)",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["family"].empty_label = "all without their own"

    def clean_currency(self) -> str:
        return _currency(self.cleaned_data["currency"])


class TaxForm(_ModelForm):
    class Meta:
        model = TaxRate
        error_messages = _TWICE
        fields = ("name", "in_force_from", "country", "region", "town", "percent", "on_freight")
        labels = {
            "name": "Authority",
            "town": "Town (empty: all)",
            "percent": "Rate, %",
            "on_freight": "Freight is taxed too",
        }

    country = CountryField()
    region = RegionField(label="State or province (empty: all)")

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        read_region(self)
        return said


class _ListForm(Form):
    """A list in a box, one step a line; `read` makes a step of a line's parts or raises ValueError."""

    use_required_attribute = False
    parts = example = ""

    def read_lines(self, read: Callable[[list[str]], Any]) -> list[Any]:
        found, wanted = [], self.parts.count(";") + 1
        lines = [line for line in self.cleaned_data["steps"].splitlines() if line.strip()]
        if len(lines) > MOST_LINES:
            raise forms.ValidationError(f"That is over {MOST_LINES} lines: shorten the list.")
        for number, line in enumerate(lines, 1):
            parts = [part.strip() for part in line.split(";")]
            if len(parts) != wanted:
                raise forms.ValidationError(
                    f"Line {number} is not {wanted} things with a semicolon between each two: "
                    f"type {self.parts}, such as {self.example}."
                )
            try:
                found.append(read(parts))
            except ValueError as error:
                raise forms.ValidationError(f"Line {number}: {error}") from None
        return found


class BreaksForm(_ListForm):
    parts, example = "quantity; % off", "6; 2.5"
    family = forms.ModelChoiceField(
        Family.objects.order_by("name"), required=False, empty_label="all without their own"
    )
    in_force_from = DayField(label=_FROM)
    steps = forms.CharField(
        label="One break a line: quantity; % off",
        help_text=f"Such as {example}",
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def clean_steps(self) -> list[tuple[int, Decimal]]:
        found = self.read_lines(_break)
        quantities = [quantity for quantity, _percent in found]
        twice = next((one for one in quantities if quantities.count(one) > 1), None)
        if twice:
            raise forms.ValidationError(f"From {twice} stands twice: keep one of the two.")
        return found


class FreightForm(_ListForm):
    parts = "longest piece; length and girth; weight; price"
    example = "48; 90; 55; 12.50"
    carrier = forms.CharField(max_length=80)
    currency = forms.CharField(max_length=3, min_length=3)
    unit = forms.ChoiceField(
        label="Numbers without a unit are", choices=[("in", "inches, pounds"), ("mm", "mm, kg")]
    )
    in_force_from = DayField(label=_FROM)
    steps = forms.CharField(
        label="One step a line: longest piece; length and girth; weight; price (- is no limit)",
        help_text=f"Such as {example}",
        widget=forms.Textarea(attrs={"rows": 5}),
    )

    def clean_currency(self) -> str:
        return _currency(self.cleaned_data["currency"])

    def clean_steps(self) -> list[tuple[Limits, Decimal]]:
        unit = Unit(self.data.get("unit") if self.data.get("unit") in ("in", "mm") else "in")
        return self.read_lines(lambda parts: _step(parts, unit))


def _currency(text: str) -> str:
    code = text.upper()
    if trouble := no_money(code):
        raise forms.ValidationError(trouble)
    return code


def _break(parts: list[str]) -> tuple[int, Decimal]:
    pieces = whole_number(parts[0], 9)
    if not pieces:
        raise ValueError(f"“{parts[0]}” is no quantity: type a whole number from 1.")
    percent = _number(parts[1].removesuffix("%").strip())
    if percent > 100:
        raise ValueError(f"{percent} % is over 100 %.")
    return pieces, percent


def _step(parts: list[str], unit: Unit) -> tuple[Limits, Decimal]:
    pound = WeightUnit.POUND if unit is Unit.INCH else WeightUnit.KG
    length, around, weight = (None if part.lower() in _NONE else part for part in parts[:3])
    try:
        limits = Limits(
            None if length is None else parse_length(length, unit),
            None if around is None else parse_length(around, unit),
            None if weight is None else parse_weight(weight, pound),
        )
    except (LengthError, WeightError) as error:
        raise ValueError(str(error)) from None
    return limits, _number(parts[3])


def _number(text: str) -> Decimal:
    """An amount or percentage, not below zero, to four decimals."""
    try:
        number = Decimal(text)
    except InvalidOperation:
        raise ValueError(f"“{text}” is no number: type it as 12.50.") from None
    if not number.is_finite() or not 0 <= number < 10**9 or number != round(number, 4):
        raise ValueError(f"“{text}” does not fit: type 0 or more, with up to four decimals.")
    return number
