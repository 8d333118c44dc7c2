"""The counter page's form: one caller, many openings, each with the measures of its own family.

What was typed comes back as it was typed, whatever is wrong with it.
"""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Generic, TypeVar

from django import forms

from quotes.forms.opening import OpeningForm, keep_whole, next_opening, opening_posted
from quotes.messages import LONGEST
from quotes.models import Customer, Opening, Request
from quotes.said import SaidOpening, SaidRequest
from sizing import lookup
from sizing.day_field import DayField
from sizing.models import Revision
from sizing.numerals import whole_number
from sizing.own_words import ModelForm

Opened = TypeVar("Opened", bound=OpeningForm)


class HeadForm(ModelForm):
    """Who is calling."""

    needed_by = DayField(label="Needed by", required=False)
    # It may be a whole message that was pasted, each end of whose lines a browser sends as two characters.
    note = forms.CharField(
        required=False, max_length=2 * LONGEST, widget=forms.Textarea(attrs={"rows": 1, "cols": 40})
    )

    class Meta:
        model = Request
        fields = ("caller", "phone", "email", "language", "needed_by", "note")
        labels = {"caller": "Caller", "phone": "Phone", "email": "E-mail"}
        widgets = {
            "caller": forms.TextInput(attrs={"autocomplete": "off", "accesskey": "c"}),
            "phone": forms.TextInput(attrs={"autocomplete": "off", "inputmode": "tel"}),
            "email": forms.TextInput(attrs={"autocomplete": "off", "inputmode": "email"}),
        }
        error_messages = {
            "email": {"invalid": "This is no e-mail address: type one like name@place.com."},
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="%s", use_required_attribute=False, **kwargs)
        # Unasked, a caller reads what the customer's own page says.
        self.fields["language"].choices = [("", "not asked"), *Customer.Language.choices]
        for name, field in self.fields.items():
            field.widget.attrs["aria-describedby"] = f"{name}_error"
            keep_whole(field, name)


def revisions_in_force() -> dict[str, Revision]:
    """Every family that has a table in force, by code, in the order of their names."""
    return {one.family.code: one for one in lookup.all_in_force()}


class CallForm(Generic[Opened]):
    """A page of boxes about one caller and many openings."""

    head: HeadForm
    openings: list[Opened]

    def is_valid(self) -> bool:
        """Whether all of it can be stored. Texts that say no length do not stand in the way."""
        return all([self.head.is_valid(), *(o.is_valid() for o in self.openings)])

    @property
    def staying(self) -> list[Opened]:
        """The openings that the clerk has not left out; of a page that is valid."""
        return [o for o in self.openings if not o.cleaned_data.get("gone")]

    @property
    def errors(self) -> list[tuple[str, str]]:
        """(id of the field, sentence) of everything that is wrong, from the top of the page down."""
        found = [(name, e) for name, errors in self.head.errors.items() for e in errors]
        for opening, heading in zip(self.openings, self.headings, strict=True):
            for name, errors in opening.errors.items():
                at = f"o{opening.index}" if name == "__all__" else opening.add_prefix(name)
                found += [(at, f"{heading}: {e}") for e in errors]
        return found

    @property
    def headings(self) -> list[str]:
        """What each opening is called in an error."""
        return [f"Opening {number}" for number in range(1, len(self.openings) + 1)]


class CounterForm(CallForm[OpeningForm]):
    """The whole counter page: head, openings, and the version that the writer had before them."""

    def __init__(
        self,
        head: HeadForm,
        openings: list[OpeningForm],
        version: int,
        page: uuid.UUID,
    ) -> None:
        self.head = head
        self.openings = openings
        self.version = version
        self.page = page

    @classmethod
    def blank(
        cls,
        revisions: Mapping[str, Revision],
        family: str = "",
        caller: Mapping[str, str] | None = None,
    ) -> CounterForm:
        """`caller`: what of the head is known before anybody types."""
        opening = OpeningForm(None, 0, revisions, known=SaidOpening(family))
        head = HeadForm(initial=caller)
        head.fields["note" if caller else "caller"].widget.attrs["autofocus"] = True
        return cls(head, [opening], 0, uuid.uuid4())

    @classmethod
    def like(
        cls,
        caller: Mapping[str, str],
        openings: Iterable[SaidOpening],
        revisions: Mapping[str, Revision],
    ) -> CounterForm:
        """A new call that begins with what an earlier one said; answered from the tables now in force."""
        known = [replace(said, key=None) for said in openings]
        forms = [OpeningForm(None, at, revisions, None, said) for at, said in enumerate(known)]
        return cls(HeadForm(initial=caller), forms, 0, uuid.uuid4())

    @classmethod
    def of_request(
        cls, request: Request, said: SaidRequest, revisions: Mapping[str, Revision]
    ) -> CounterForm:
        """A stored call as it was said, each opening with the table that it was answered from."""
        stored = openings_of(request)
        openings = [
            OpeningForm(None, at, revisions, stored.get(o.key), o)
            for at, o in enumerate(said.openings)
        ]
        return cls(HeadForm(instance=request), openings, request.version, uuid.uuid4())

    @classmethod
    def posted(
        cls, data: Mapping[str, Any], request: Request | None, revisions: Mapping[str, Revision]
    ) -> CounterForm:
        """The page as it was sent; `request` is the call it was sent for, None: a new one."""
        stored = openings_of(request) if request else {}
        openings = [opening_posted(data, index, revisions, stored) for index in indexes(data)]
        try:
            page = uuid.UUID(str(data.get("page")))
        except ValueError:
            page = uuid.uuid4()
        version = whole_number(data.get("version", "")) or 0
        return cls(HeadForm(data), openings, version, page)

    def add_opening(self, revisions: Mapping[str, Revision]) -> OpeningForm:
        """A blank opening after the last."""
        last = self.openings[-1] if self.openings else None
        opening = next_opening(last, revisions)
        self.openings.append(opening)
        return opening

    def said(self) -> SaidRequest:
        """What is to be stored of a page that is valid."""
        clean = self.head.cleaned_data
        head = {
            name: clean.get(name) or "" for name in ("caller", "phone", "email", "language", "note")
        }
        openings = tuple(o.said() for o in self.staying)
        return SaidRequest(**head, needed_by=clean.get("needed_by"), openings=openings)

    @property
    def headings(self) -> list[str]:
        return [opening.heading for opening in self.openings]


def indexes(data: Any) -> list[int]:
    """The openings of a page by their numbers on it, in order, each once."""
    numbers: Sequence[str] = data.getlist("openings")
    return list(dict.fromkeys(int(n) for n in numbers if re.fullmatch(r"[0-9]{1,3}", n)))


def openings_of(request: Request) -> dict[int, Opening]:
    """{key: opening as it is stored} with the table it was answered from."""
    return {o.pk: o for o in request.openings.select_related("revision__family")}
