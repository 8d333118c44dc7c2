"""Forms of the customer pages: the customer, contacts and addresses, each with one blank line to add."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils import timezone

from quotes.lists.shop import home_country
from quotes.models import Address, Contact, Customer, Terms
from sizing.day_field import DayField
from sizing.own_words import ModelForm
from sizing.place_fields import CountryField, RegionField, read_region


class CustomerForm(ModelForm):
    exemption_expires = DayField(label="Exemption holds until", required=False)

    class Meta:
        model = Customer
        fields = (
            "name", "kind", "terms", "unit", "channel", "language", "exemption_number",
            "exemption_expires", "note",
        )  # fmt: skip
        widgets = {
            "note": forms.Textarea(attrs={"rows": 3}),
            "name": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        error_messages = {"name": {"required": "Type the customer's name."}}

    def __init__(self, data: Mapping[str, str] | None = None, **kwargs: object) -> None:
        super().__init__(data, use_required_attribute=False, **kwargs)
        known = Terms.objects.filter(in_force_from__lte=timezone.localdate())
        names = sorted({*known.values_list("name", flat=True), self.instance.terms} - {""})
        self.fields["terms"] = forms.ChoiceField(
            required=False, choices=[("", "list price"), *((name, name) for name in names)]
        )


class _ContactForm(ModelForm):
    class Meta:
        model = Contact
        fields = ("name", "role", "phone", "email")
        error_messages = {
            "email": {"invalid": "This is no e-mail address: type one like name@place.com."}
        }


class _AddressForm(ModelForm):
    class Meta:
        model = Address
        fields = ("label", "street", "town", "region", "postcode", "country")

    country = CountryField()
    region = RegionField()

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        read_region(self)
        return said


def contact_forms(customer: Customer, data: Mapping[str, str] | None = None) -> forms.BaseFormSet:
    made = forms.inlineformset_factory(Customer, Contact, _ContactForm, extra=1)
    return made(data, instance=customer, prefix="contact")


def address_forms(customer: Customer, data: Mapping[str, str] | None = None) -> forms.BaseFormSet:
    made = forms.inlineformset_factory(Customer, Address, _AddressForm, extra=1)
    blank = [{"country": home_country()}]
    return made(data, instance=customer, prefix="address", initial=blank)
