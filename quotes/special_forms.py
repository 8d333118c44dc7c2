"""Forms of the specials: the factory's answer, the desk's price, a flag, a question of lead time."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone
from moneyed import Money

from quotes.amount_field import AmountField
from quotes.desk.enquiries import FactoryAnswer
from quotes.enquiries import Asked
from quotes.models import Enquiry, Request
from sizing.models import Part
from sizing.prices import MOST_PRICE, is_currency, minor_units

_PRICE = {"max_digits": 12, "decimal_places": 4}
_DECIMAL = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
_NUMBER = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
_WEEKS = "Type whole weeks, such as 5."


class AnswerForm(forms.Form):
    """What the factory's contact fills in. What is asked decides which boxes there are."""

    can_be_made = forms.TypedChoiceField(
        label="Can you make it?",
        choices=[("yes", "Yes"), ("no", "No, it can't be made")],
        widget=forms.RadioSelect,
        coerce=lambda value: value == "yes",
        error_messages={"required": "Choose whether it can be made."},
    )
    unit_cost = AmountField(label="Your price for one", required=False, widget=_DECIMAL, **_PRICE)
    currency = forms.CharField(
        required=False,
        max_length=3,
        help_text="Three letters, such as USD, CAD or EUR.",
        widget=forms.TextInput(attrs={"size": 4, "autocapitalize": "characters"}),
    )
    weeks_min = forms.IntegerField(
        label="Working weeks, at least", required=False, min_value=0, max_value=104,
        widget=_NUMBER, error_messages={"invalid": _WEEKS},
    )  # fmt: skip
    weeks_max = forms.IntegerField(
        label="at most", required=False, min_value=0, max_value=104,
        help_text="From our order until it leaves your factory. The same twice if you know it.",
        widget=_NUMBER, error_messages={"invalid": _WEEKS},
    )  # fmt: skip
    valid_until = forms.DateField(
        label="This holds until",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "That is no date: type it as YYYY-MM-DD."},
    )
    remarks = forms.CharField(
        required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )
    name = forms.CharField(
        label="Your name", max_length=120, error_messages={"required": "Type your name."}
    )

    def __init__(self, asked: Asked, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, use_required_attribute=False, **kwargs)
        self.asked = asked
        if asked.wants_price:
            self.fields["unit_cost"].label = f"Your price for one {asked.unit}"
        else:
            del self.fields["unit_cost"], self.fields["currency"]

    @staticmethod
    def before(enquiry: Enquiry) -> dict[str, Any]:
        """What the factory had answered already, or its usual currency."""
        if enquiry.answered_at is None:
            return {"currency": enquiry.document["currency"]}
        cost = enquiry.unit_cost
        return {
            "can_be_made": "yes" if enquiry.can_be_made else "no",
            "unit_cost": f"{cost.amount.normalize():f}" if cost else "",
            "currency": cost.currency.code if cost else enquiry.document["currency"],
            "weeks_min": enquiry.weeks_min,
            "weeks_max": enquiry.weeks_max,
            "valid_until": enquiry.valid_until,
            "remarks": enquiry.remarks,
            "name": enquiry.answered_by,
        }

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if said.get("can_be_made"):
            self._need_weeks(said)
            if self.asked.wants_price:
                self._need_price(said)
            until = said.get("valid_until")
            if until is None and "valid_until" not in self.errors:
                self.add_error("valid_until", "Say until which day this holds.")
            elif until and until < timezone.localdate():
                self.add_error("valid_until", "That day is past: type one still to come.")
        return said

    def _need_weeks(self, said: dict[str, Any]) -> None:
        low, high = said.get("weeks_min"), said.get("weeks_max")
        for name, value in (("weeks_min", low), ("weeks_max", high)):
            if value is None and name not in self.errors:
                self.add_error(name, _WEEKS)
        if low is not None and high is not None and low > high:
            self.add_error("weeks_max", f"At most {high} is less than at least {low}: correct one.")

    def _need_price(self, said: dict[str, Any]) -> None:
        code = said.get("currency", "").upper()
        if not is_currency(code):
            self.add_error(
                "currency", f"“{code}” is no currency: type its three letters, such as USD."
            )
        cost = said.get("unit_cost")
        if cost is None:
            if "unit_cost" not in self.errors:
                self.add_error("unit_cost", "Type your price.")
        elif not 0 < cost < MOST_PRICE:
            self.add_error("unit_cost", "Type a price above zero.")
        elif is_currency(code) and cost != round(cost, minor_units(code)):
            self.add_error(
                "unit_cost", f"{code} has {minor_units(code)} decimals: round the price."
            )

    def answer(self) -> FactoryAnswer:
        said = self.cleaned_data
        cost = said.get("unit_cost")
        return FactoryAnswer(
            name=said["name"],
            can_be_made=said["can_be_made"],
            unit_cost=None if cost is None else Money(cost, said["currency"].upper()),
            weeks_min=said["weeks_min"],
            weeks_max=said["weeks_max"],
            valid_until=said["valid_until"],
            remarks=said["remarks"],
        )


class PriceForm(forms.Form):
    """A price by hand; left empty, the margin rule prices it."""

    unit_price = AmountField(
        label="Price of one by hand", required=False, widget=_DECIMAL, min_value=0,
        help_text="Leave it empty to price by the margin rule.", **_PRICE,
    )  # fmt: skip
    why = forms.CharField(label="Why this price", required=False, max_length=500)

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if said.get("unit_price") is not None and not said.get("why"):
            self.add_error("why", "Say why it is priced by hand: the reason is kept with it.")
        return said


class FlagForm(forms.Form):
    words = forms.CharField(
        label="Words for the factory",
        required=False,
        max_length=2000,
        help_text="Why it is special, and what the factory should know.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class LeadTimeForm(forms.Form):
    """Which part, and how many, to ask a lead time for."""

    part_number = forms.CharField(
        label="Part number",
        max_length=60,
        widget=forms.TextInput(attrs={"list": "parts", "autocomplete": "off"}),
        error_messages={"required": "Type the part's number."},
    )
    quantity = forms.IntegerField(min_value=1, max_value=9999, initial=1, widget=_NUMBER)
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
