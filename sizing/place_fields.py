"""Boxes for a place, the same on every form: a country from the list, a state or province by letters or name."""

from __future__ import annotations

from typing import Any

from django import forms

from sizing.places import PlaceError, countries, country_of, region_of


class CountryField(forms.ChoiceField):
    """Begins with an empty line, so that a country nobody knows is not shown as the list's first."""

    def __init__(self, *, label: str = "Country", **more: Any) -> None:
        error = {"required": "Choose a country from the list."}
        choices = [("", "choose one"), *countries()]
        super().__init__(label=label, choices=choices, error_messages=error, **more)

    def to_python(self, value: Any) -> str:
        try:
            return country_of(str(value or ""))
        except PlaceError as error:
            raise forms.ValidationError(str(error)) from None


class RegionField(forms.CharField):
    """As long as a name, so that no box cuts “Pennsylvania” to three letters that are no place.

    What it is can be read once its country is: the form's `clean` calls `read_region`.
    """

    def __init__(self, *, label: str = "State or province", **more: Any) -> None:
        super().__init__(label=label, max_length=60, required=False, **more)


def read_region(form: forms.BaseForm) -> None:
    """Put the region's code in the place of what was typed, or say at its box what is wrong."""
    said = form.cleaned_data
    if "country" not in said or "region" not in said:
        return
    try:
        said["region"] = region_of(said["country"], said["region"])
    except PlaceError as error:
        form.add_error("region", str(error))
