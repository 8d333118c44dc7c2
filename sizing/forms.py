"""Forms of the size-table pages. What a workbook holds is checked by `workbook`, not here."""

from __future__ import annotations

from typing import Any

import holidays
from django import forms
from django.utils import timezone

from sizing.day_field import DayField
from sizing.models import Factory
from sizing.place_fields import CountryField, RegionField, read_region
from sizing.table import SizeTable
from sizing.workbook import MOST_FILE_BYTES, WorkbookError, read_workbook


class UploadForm(forms.Form):
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
            raise forms.ValidationError(list(error.problems)) from None
        return file


class InForceForm(forms.Form):
    on = DayField(
        label="In force from",
        initial=timezone.localdate,
        error_messages={
            "required": "No day was given; choose the day from which the table counts."
        },
    )


class NotMadeForm(forms.Form):
    not_made_from = DayField(
        required=False,
        label="Not made any more from",
        help_text="From that day on nobody is offered it; what was ordered goes on. Empty: it is made.",
    )


class FactoryForm(forms.ModelForm):
    country = CountryField(help_text="Its public holidays are not counted as working days.")
    region = RegionField(help_text="By its letters or its name, such as VT; blank if none.")

    class Meta:
        model = Factory
        fields = ["email", "contact", "country", "region"]
        labels = {"email": "E-mail for orders and enquiries", "contact": "Contact's name"}

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
