"""The boxes in which a factory answers: one opening, or what is the same for all of a letter."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils import timezone
from moneyed import Money

from quotes.desk.factory_answers import FactoryAnswer, stamp
from quotes.enquiries import weeks_typed
from quotes.forms.amount_field import UnitAmountField
from quotes.models import Enquiry
from sizing.day_field import DayField
from sizing.own_words import Form
from sizing.prices import MOST_PRICE, is_currency, minor_units, no_money
from sizing.table import MOST_WEEKS

PRICE = {"max_digits": 12, "decimal_places": 4}
DECIMAL = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
NUMBER = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
_WEEKS = f"Type whole weeks up to {MOST_WEEKS}, such as 5 or 6-7."
TERMS = ("currency", "weeks_min", "weeks_max", "valid_until")


class WeeksField(forms.CharField):
    """Weeks, or from so many to so many in one box."""

    def __init__(self, **more: Any) -> None:
        super().__init__(required=False, max_length=40, widget=NUMBER, empty_value=None, **more)

    def clean(self, value: Any) -> tuple[int, int] | None:
        typed = super().clean(value)
        weeks = weeks_typed(typed) if typed else None
        if typed and weeks is None:
            raise forms.ValidationError(_WEEKS)
        return weeks


class TermsForm(Form):
    """Currency, weeks and until when: of one answer, or the same for all of a letter."""

    currency = forms.CharField(
        required=False,
        max_length=3,
        help_text="Three letters, such as USD, CAD or EUR.",
        widget=forms.TextInput(attrs={"size": 4, "autocapitalize": "characters"}),
    )
    weeks_min = WeeksField(label="Working weeks, at least")
    weeks_max = WeeksField(
        label="at most",
        help_text="From our order until it leaves your factory. The same twice if you know it.",
    )
    valid_until = DayField(label="This holds until", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, use_required_attribute=False, **kwargs)

    def clean(self) -> dict[str, Any]:
        """At least the earlier, at most the later week; 6-7 in either box alone says both."""
        said = super().clean()
        low, high = said.get("weeks_min"), said.get("weeks_max")
        either = next(
            (weeks for weeks in (low, high) if weeks and weeks[0] < weeks[1]), (None, None)
        )
        said["weeks_min"] = low[0] if low else either[0]
        said["weeks_max"] = high[1] if high else either[1]
        return said

    def check_terms(self, said: Mapping[str, Any]) -> None:
        """What is typed must be right; whether it is enough is not asked here."""
        low, high, until = (said.get(name) for name in ("weeks_min", "weeks_max", "valid_until"))
        if low is not None and high is not None and low > high:
            self.add_error("weeks_max", f"At most {high} is less than at least {low}: correct one.")
        if until and until < timezone.localdate():
            self.add_error("valid_until", "That day is past: type one still to come.")


class SameForm(TermsForm):
    """What is the same for all openings of a letter; an opening's own boxes come before it."""

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        code = said.get("currency", "").upper()
        if code and (trouble := no_money(code)):
            self.add_error("currency", trouble)
        self.check_terms(said)
        return said


class AnswerForm(TermsForm):
    """An answer to one enquiry. What is asked decides which boxes there are.

    Where a letter asks several, boxes of `TERMS` that are left empty say what is the same for all.
    """

    can_be_made = forms.TypedChoiceField(
        label="Can you make it?",
        choices=[("yes", "Yes"), ("no", "No, it can't be made")],
        widget=forms.RadioSelect,
        coerce=lambda value: value == "yes",
        required=False,
        empty_value=None,
    )
    unit_cost = UnitAmountField(label="Your price for one", required=False, widget=DECIMAL, **PRICE)
    remarks = forms.CharField(
        required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )
    # Which answer the page showed, so that nobody replaces one that they have not seen.
    seen = forms.CharField(required=False, widget=forms.HiddenInput)
    field_order = ("can_be_made", "unit_cost", *TERMS, "remarks", "seen")

    def __init__(self, enquiry: Enquiry, several: bool, *args: Any, **kwargs: Any) -> None:
        usual = {} if several else {"currency": enquiry.document["currency"]}
        super().__init__(*args, initial=usual | _before(enquiry), **kwargs)
        self.enquiry, self.asked, self.several = enquiry, enquiry.asked(), several
        self.same: Mapping[str, Any] = {}
        if self.asked.wants_price:
            self.fields["unit_cost"].label = f"Your price for one {self.asked.unit}"
            self.fields["unit_cost"].unit = self.asked.unit
        else:
            del self.fields["unit_cost"], self.fields["currency"]

    @property
    def is_touched(self) -> bool:
        """Whether anything is said: typed into empty boxes, or an answer's own boxes sent again."""
        return not self.several or any(
            self.data.get(self.add_prefix(name), "").strip() for name in self.fields
        )

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        self._need_word(said)
        if not said.get("can_be_made"):
            return said
        for name in TERMS:
            if said.get(name) in (None, "") and name not in self.errors:
                said[name] = self.same.get(name)
        for name, words in (("weeks_min", "at least"), ("weeks_max", "at most")):
            if said.get(name) is None and name not in self.errors:
                self.add_error(name, f"Type whole weeks for “{words}”, such as 5.")
        if self.asked.wants_price:
            self._need_price(said)
        if said.get("valid_until") is None and "valid_until" not in self.errors:
            self.add_error("valid_until", "Say until which day this holds.")
        self.check_terms(said)
        return said

    def _need_word(self, said: dict[str, Any]) -> None:
        """What has its price, or its weeks where nothing else is asked, can be made; so has what was typed there
        and can't be read, which has its own sentence."""
        if said.get("can_be_made") is not None or "can_be_made" in self.errors:
            return
        tells = ("unit_cost",) if self.asked.wants_price else ("weeks_min", "weeks_max")
        if any(said.get(name) is not None or name in self.errors for name in tells):
            said["can_be_made"] = True
        else:
            self.add_error("can_be_made", "Choose whether it can be made.")

    def _need_price(self, said: dict[str, Any]) -> None:
        code = (said.get("currency") or "").upper()
        if (trouble := no_money(code)) and "currency" not in self.errors:
            self.add_error("currency", trouble)
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

    def answer(self, name: str) -> FactoryAnswer:
        said = self.cleaned_data
        # A page from before this box was there has none.
        seen = said["seen"] if self.add_prefix("seen") in self.data else None
        if not said["can_be_made"]:
            return FactoryAnswer(name, False, remarks=said["remarks"], seen=seen)
        cost = said.get("unit_cost")
        return FactoryAnswer(
            name=name,
            can_be_made=True,
            unit_cost=None if cost is None else Money(cost, said["currency"].upper()),
            **{name: said[name] for name in ("weeks_min", "weeks_max", "valid_until", "remarks")},
            seen=seen,
        )

    @property
    def typed(self) -> str:
        """All that was typed, in a row, for where no box is left to show it in."""
        words = (self.data.get(self.add_prefix(n), "").strip() for n in self.fields if n != "seen")
        return "; ".join(word for word in words if word)

    @property
    def own(self) -> list[forms.BoundField]:
        return [field for field in self if field.name not in TERMS]

    @property
    def terms(self) -> list[forms.BoundField]:
        return [
            self[name]
            for name in ("weeks_min", "weeks_max", "valid_until", "currency")
            if name in self.fields
        ]

    def show_as_seen(self, enquiry: Enquiry) -> None:
        """Sent again it may replace the answer that stands now: the page says which."""
        self.data = self.data.copy()
        self.data[self.add_prefix("seen")] = stamp(enquiry)

    @property
    def has_own_terms(self) -> bool:
        return any(field.value() or field.errors for field in self.terms)


def _before(enquiry: Enquiry) -> dict[str, Any]:
    """What the factory had answered already."""
    if enquiry.answered_at is None:
        return {}
    cost = enquiry.unit_cost
    return {
        "can_be_made": "yes" if enquiry.can_be_made else "no",
        "unit_cost": f"{cost.amount.normalize():f}" if cost else "",
        "currency": cost.currency.code if cost else enquiry.document["currency"],
        "weeks_min": enquiry.weeks_min,
        "weeks_max": enquiry.weeks_max,
        "valid_until": enquiry.valid_until,
        "remarks": enquiry.remarks,
        "seen": stamp(enquiry),
    }
