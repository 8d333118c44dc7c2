"""Forms of the size-table pages. What a workbook holds is checked by `workbook`, not here."""

from __future__ import annotations

import re
from typing import Any

import holidays
from django import forms
from django.core.validators import validate_email
from django.utils import timezone

from sizing.day_field import DayField
from sizing.models import Factory
from sizing.own_words import Form, ModelForm
from sizing.place_fields import CountryField, RegionField, read_region
from sizing.table import SizeTable
from sizing.workbook import MOST_FILE_BYTES, WorkbookError, read_workbook

# Of a mail to a factory, besides the one it goes to.
MOST_COPIES = 5


class UploadForm(Form):
    """Takes a workbook; once valid, `table` and `warnings` hold what it says."""

    workbook = forms.FileField(
        label="Workbook (.xlsx)",
        help_text=f"Up to {MOST_FILE_BYTES // 1_000_000} MB. Sheets Family and Parts; Measures, Slips and Fit if you have them.",
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx"}),
        error_messages={
            "required": "No file was chosen; choose a workbook first.",
            "empty": "The file is empty; save the workbook again and choose it anew.",
        },
    )

    table: SizeTable
    warnings: list[str]

    def clean_workbook(self) -> Any:
        file = self.cleaned_data["workbook"]
        # One byte past the limit is enough for the reader to refuse it.
        content = file.read(MOST_FILE_BYTES + 1)
        try:
            self.table, self.warnings = read_workbook(content)
        except WorkbookError as error:
            raise forms.ValidationError(error.gathered) from None
        return file


class InForceForm(Form):
    on = DayField(
        label="In force from",
        initial=timezone.localdate,
        error_messages={
            "required": "No day was given; choose the day from which the table counts."
        },
    )


class NotMadeForm(Form):
    not_made_from = DayField(
        required=False,
        label="Not made any more from",
        help_text="From that day on nobody is offered it; what was ordered goes on. Empty: it is made.",
    )


class FactoryForm(ModelForm):
    country = CountryField(help_text="Its public holidays are not counted as working days.")
    region = RegionField(help_text="By its letters or its name, such as VT; blank if none.")

    class Meta:
        model = Factory
        fields = ["email", "copies_to", "contact", "country", "region"]
        labels = {
            "email": "E-mail for orders and enquiries",
            "copies_to": "Copies go to",
            "contact": "Contact's name",
        }
        help_texts = {
            "copies_to": "More of its addresses, with commas between; who gets a copy can answer by its link, too."
        }

    def clean_copies_to(self) -> str:
        """Each address once, and none that the mail itself goes to."""
        typed = re.split(r"[\s,;]+", self.cleaned_data["copies_to"].strip())
        found = {one.casefold(): one for one in typed if one}
        found.pop(self.cleaned_data.get("email", "").casefold(), None)
        if found and self.cleaned_data.get("email") == "":
            raise forms.ValidationError("Type where the mail itself goes first.")
        for one in found.values():
            try:
                validate_email(one)
            except forms.ValidationError:
                raise forms.ValidationError(f"“{one[:80]}” is no e-mail address.") from None
        if len(found) > MOST_COPIES:
            raise forms.ValidationError(f"{len(found)} are too many: type {MOST_COPIES} at most.")
        return ", ".join(found.values())

    def clean(self) -> dict[str, Any]:
        """The working days are counted by these two, so the region must be known to the calendar."""
        super().clean()
        read_region(self)
        country = self.cleaned_data.get("country")
        region = self.cleaned_data.get("region")
        known = holidays.list_supported_countries()
        if country and region and region not in known[country]:
            places = ", ".join(known[country]) or "none"
            self.add_error(
                "region",
                f"{region} is no part of {country} with its own holidays; there are {places}.",
            )
        return self.cleaned_data
