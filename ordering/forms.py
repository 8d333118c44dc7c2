"""What is typed about orders, read and checked; each error says what to type instead."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from django import forms

from ordering.events import HandLine
from ordering.events.placing import MOST_PIECES
from ordering.notices import Text, troubles
from ordering.states import Cause
from quotes.forms.amount_field import AmountField
from quotes.forms.quote import their_number
from quotes.models import Address, Customer
from sizing.day_field import DayField, no_day
from sizing.numerals import whole_number
from sizing.own_words import Form

HAND_LINES = 6


class HandOrderForm(Form):
    """An order without a quote: the customer, where it goes, and up to six lines at a time."""

    customer = forms.ModelChoiceField(Customer.objects.filter(merged_into=None))
    ship_to = forms.ModelChoiceField(
        Address.objects.none(),
        required=False,
        empty_label="Picked up at the counter",
        label="Goes to",
    )
    needed_by = DayField(label="Needed by", required=False)
    their_number = their_number("Their order number, if they gave one")
    note = forms.CharField(required=False, max_length=2000, widget=forms.Textarea)
    page = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

    def __init__(self, *args, customer: Customer | None = None, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        if customer:
            self.fields["ship_to"].queryset = customer.addresses.all()
        for place in range(HAND_LINES):
            self.fields[f"part-{place}"] = forms.CharField(
                required=False, max_length=60, label=f"Part number, line {place + 1}"
            )
            self.fields[f"words-{place}"] = forms.CharField(
                required=False, max_length=500, label=f"Or what it is, line {place + 1}"
            )
            self.fields[f"count-{place}"] = forms.IntegerField(
                required=False,
                min_value=1,
                max_value=MOST_PIECES,
                label=f"Quantity, line {place + 1}",
            )
            self.fields[f"price-{place}"] = AmountField(
                required=False, min_value=0, max_digits=12, decimal_places=4,
                label=f"Price, line {place + 1}",
            )  # fmt: skip

    @property
    def rows(self) -> list[list[forms.BoundField]]:
        names = ("part", "words", "count", "price")
        return [[self[f"{name}-{place}"] for name in names] for place in range(HAND_LINES)]

    def lines(self) -> list[HandLine]:
        """The lines that have anything in them."""
        said = self.cleaned_data
        found = []
        for place in range(HAND_LINES):
            part, words = said[f"part-{place}"].strip(), said[f"words-{place}"].strip()
            if part or words:
                found.append(
                    HandLine(part, words, said[f"count-{place}"] or 1, said[f"price-{place}"])
                )
        return found

    def clean(self) -> dict:
        said = super().clean()
        for place in range(HAND_LINES):
            named = said.get(f"part-{place}") or said.get(f"words-{place}")
            if not named and (said.get(f"count-{place}") or said.get(f"price-{place}")):
                self.add_error(
                    f"part-{place}", f"Line {place + 1} has no part: type which, or what it is."
                )
        if not self.errors and not self.lines():
            self.add_error("part-0", "Type a part number, or say what it is.")
        return said


class AgainForm(Form):
    """Pieces to be made a second time."""

    count = forms.IntegerField(min_value=1, label="How many")
    cause = forms.ChoiceField(
        choices=Cause.choices(),
        error_messages={
            "required": "Choose the cause: the record counts what was made again by it."
        },
    )
    why = forms.CharField(max_length=500, label="What happened")


class DepositForm(Form):
    amount = AmountField(min_value=Decimal("0.0001"), max_digits=14, decimal_places=4)
    how = forms.CharField(max_length=200, required=False, label="How it was paid")


class TextForm(Form):
    """The shop's own words for one kind of notice."""

    subject = forms.CharField(max_length=200)
    body = forms.CharField(max_length=8000, widget=forms.Textarea(attrs={"rows": 16}), label="Text")

    def text(self) -> Text:
        return Text(
            self.cleaned_data["subject"].strip(), self.cleaned_data["body"].replace("\r\n", "\n")
        )

    def clean(self) -> dict:
        said = super().clean()
        if not self.errors:
            for sentence in troubles(self.text()):
                self.add_error("body" if "subject" not in sentence else "subject", sentence)
        return said


class FormError(ValueError):
    """One field that cannot be read: its name and a sentence."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


def day_of(data: Mapping[str, str], name: str, what: str) -> date | None:
    """A day as a date field sends it; None if it was left empty. Raises FormError."""
    text = data.get(name, "").strip()
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise FormError(name, no_day(what, text)) from None


def count_of(data: Mapping[str, str], name: str, what: str) -> int:
    """A whole number; 0 if it was left empty. Raises FormError."""
    text = data.get(name, "").strip()
    if not text:
        return 0
    count = whole_number(text, 6)
    if count is None:
        raise FormError(name, f"{what}: “{text[:40]}” is no whole number; type one.")
    return count
