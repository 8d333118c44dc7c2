"""The counter page's form: one caller, many openings, each with the measures of its own family.

What was typed comes back as it was typed, whatever is wrong with it.
"""

from __future__ import annotations

import contextlib
import re
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django import forms

from quotes.answering import askable
from quotes.models import Customer, Opening, Request
from quotes.said import SASH_FIELDS, SaidOpening, SaidRequest
from sizing import lookup
from sizing.about import reach_in_words, said_as_about
from sizing.day_field import DayField
from sizing.glass import FRAMES
from sizing.models import Revision
from sizing.numerals import whole_number
from sizing.table import Measure, SizeTable

LONGEST_SAID = 60
MEASURE, CANNOT, SASH = "m-", "cannot-", "sash-"


class HeadForm(forms.ModelForm):
    """Who is calling."""

    needed_by = DayField(label="Needed by", required=False)
    note = forms.CharField(
        required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 1, "cols": 40})
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


def keep_whole(field: forms.Field, name: str) -> None:
    """Let a box take what is pasted into it and say what is too long: a browser would cut it silently."""
    field.widget.attrs.pop("maxlength", None)
    words = (field.label or name.capitalize()).replace("%", "%%")
    field.error_messages["max_length"] = (
        f"{words} is %(show_value)s characters long; up to %(limit_value)s are kept: shorten it."
    )


@dataclass(frozen=True)
class MeasureBox:
    """A measure's text box and its "can't be measured" box, as the template shows them, and how an "about"
    in it is taken."""

    measure: Measure
    box: forms.BoundField
    cannot: forms.BoundField
    about: str


class OpeningForm(forms.Form):
    """One opening. Its fields follow the table of the family chosen in it."""

    key = forms.IntegerField(required=False, widget=forms.HiddenInput)
    label = forms.CharField(required=False, max_length=80, label="Which window")
    family = forms.ChoiceField(label="Family")
    quantity = forms.IntegerField(
        label="Count",
        min_value=1,
        max_value=9999,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 4}),
        error_messages={
            "invalid": "The count is no whole number: type 1 or more.",
            "min_value": "The count is below 1: type 1 or more.",
            "max_value": "The count is over 9999: type a smaller one.",
        },
    )
    finish = forms.ChoiceField(required=False, label="Finish")
    override = forms.CharField(required=False, max_length=60, label="Part number")
    override_reason = forms.CharField(required=False, max_length=255, label="Reason, kept with it")
    renew = forms.BooleanField(required=False)
    gone = forms.BooleanField(required=False, label="Leave this opening out")

    def __init__(
        self,
        data: Mapping[str, Any] | None,
        index: int,
        revisions: Mapping[str, Revision],
        stored: Opening | None = None,
        known: SaidOpening | None = None,
    ) -> None:
        self.known = known or SaidOpening("")
        initial = initial_of(self.known)
        super().__init__(
            data, prefix=f"o{index}", auto_id="%s", initial=initial, use_required_attribute=False
        )
        self.index = index
        self.stored = stored
        chosen = self._typed("family")
        before = stored.revision if stored and stored.revision else None
        # Of a family that is not made any more: it stays what it was, with a word on it, until another is chosen.
        self.not_made = before is not None and before.family.code == chosen not in revisions
        if self.not_made:
            revisions = {**revisions, chosen: before}
        self.in_force = revisions.get(chosen) or next(iter(revisions.values()))
        same = before is not None and before.family.code == self.in_force.family.code
        self.revision = before if same and not self._typed("renew") else self.in_force
        self.superseded = same and before.pk != self.in_force.pk
        self.table: SizeTable = lookup.table_of(self.revision)
        self.fields["family"].choices = [(code, r.name) for code, r in revisions.items()]
        self._add_measures()
        self._add_sash()
        finishes = [f for f in self.table.finishes if f]
        self.has_finish = bool(finishes)
        self.fields["finish"].choices = [("", "not said yet"), *((f, f) for f in finishes)]
        # A finish of another family stays in its box until the clerk chooses again.
        self.fields["finish"].valid_value = lambda value: True
        for name, field in self.fields.items():
            field.widget.attrs["aria-describedby"] = f"{self.add_prefix(name)}_error"
            field.widget.attrs.setdefault("autocomplete", "off")
            keep_whole(field, name)

    def _typed(self, name: str) -> str:
        if self.is_bound:
            return str(self.data.get(self.add_prefix(name), ""))
        return str(self.initial.get(name) or "")

    def _add_measures(self) -> None:
        self.asked = askable(self.table)
        for measure in self.asked:
            box = forms.CharField(
                required=False, max_length=LONGEST_SAID, label=measure.label, strip=True
            )
            box.help_text = measure.how_to
            name = MEASURE + measure.code
            self.fields[name] = box
            self.fields[CANNOT + measure.code] = forms.BooleanField(
                required=False, label=f"{measure.label} can't be measured"
            )

    def _add_sash(self) -> None:
        self.weighs = next((m for m in self.asked if m.kind == "weight"), None)
        if self.weighs is None:
            return
        panes = [("", ""), ("1", "1 pane"), ("2", "2 panes"), ("3", "3 panes")]
        frames = [("", ""), *((key, frame.label) for key, frame in FRAMES.items())]
        thickness = '3 mm or 1/8"'
        self.fields[SASH + "glass_width"] = forms.CharField(
            required=False, max_length=LONGEST_SAID, label="Glass width"
        )
        self.fields[SASH + "thickness"] = forms.CharField(
            required=False, max_length=LONGEST_SAID, label="Thickness of one pane"
        )
        self.fields[SASH + "thickness"].widget.attrs["placeholder"] = thickness
        self.fields[SASH + "panes"] = forms.ChoiceField(
            required=False, label="Panes", choices=panes
        )
        self.fields[SASH + "frame"] = forms.ChoiceField(
            required=False, label="Frame", choices=frames
        )

    @property
    def measures(self) -> Iterator[MeasureBox]:
        for measure in self.asked:
            yield MeasureBox(
                measure,
                self[MEASURE + measure.code],
                self[CANNOT + measure.code],
                self._about(measure),
            )

    def _about(self, measure: Measure) -> str:
        if measure.kind != "length" or not said_as_about(self._typed(MEASURE + measure.code))[1]:
            return ""
        return f"About: taken as within {reach_in_words(self.table.unit)} until it is measured."

    @property
    def sash(self) -> list[forms.BoundField]:
        return [self[SASH + name] for name in SASH_FIELDS] if self.weighs else []

    @property
    def live_fields(self) -> list[forms.BoundField]:
        """The boxes whose mistakes the live answer tells."""
        return [*(m.box for m in self.measures), *self.sash, self["quantity"]]

    @property
    def sash_is_open(self) -> bool:
        return any(self._typed(SASH + name) for name in SASH_FIELDS)

    @property
    def override_is_open(self) -> bool:
        return bool(self._typed("override") or self._typed("override_reason"))

    @property
    def left_over(self) -> list[tuple[str, str]]:
        """Texts of measures that this family lacks: kept on the page in case the family changes back."""
        start = self.add_prefix(MEASURE)
        if not self.is_bound:
            typed = {start + k[2:]: v for k, v in self.initial.items() if k.startswith(MEASURE)}
        else:
            typed = {k: v for k, v in self.data.items() if k.startswith(start)}
        known = {self.add_prefix(name) for name in self.fields}
        return [(name, text) for name, text in typed.items() if name not in known and text][:20]

    @property
    def heading(self) -> str:
        label = self._typed("label")
        return (label if len(label) <= 40 else f"{label[:39]}…") or f"Opening {self.index + 1}"

    def clean_quantity(self) -> int:
        return self.cleaned_data["quantity"] or 1

    def said(self) -> SaidOpening:
        """What is in the boxes, posted or stored; a wrong count counts as one."""
        family = self.revision.family.code
        if not self.is_bound:
            return replace(self.known, family=family)
        self.is_valid()
        clean = self.cleaned_data
        measures = {
            name[len(MEASURE) :]: str(clean.get(name) or self._typed(name))
            for name in self.fields
            if name.startswith(MEASURE)
        }
        start = len(self.add_prefix(MEASURE))
        measures |= {name[start:][:40]: text[:LONGEST_SAID] for name, text in self.left_over}
        return SaidOpening(
            key=clean.get("key"),
            family=family,
            label=clean.get("label") or "",
            measures=measures,
            cannot=frozenset(m.code for m in self.asked if clean.get(CANNOT + m.code)),
            sash={name: clean.get(SASH + name) or "" for name in SASH_FIELDS},
            finish=clean.get("finish") or "",
            quantity=clean.get("quantity") or 1,
            override=clean.get("override") or "",
            override_reason=clean.get("override_reason") or "",
            renew=bool(clean.get("renew")),
        )

    def show_problems(self, problems: Mapping[str, str]) -> None:
        """Set sentences of the reader beside the fields they are about."""
        for field, sentence in problems.items():
            name = next(
                (n for n in (MEASURE + field, SASH + field, field) if n in self.fields), None
            )
            if name is None or not self.has_error(name):
                self.add_error(name, sentence)


def initial_of(said: SaidOpening) -> dict[str, Any]:
    """A stored opening as the initial values of its form."""
    return {
        "key": said.key,
        "family": said.family,
        "label": said.label,
        "quantity": said.quantity,
        "finish": said.finish,
        "override": said.override,
        "override_reason": said.override_reason,
        **{MEASURE + code: text for code, text in said.measures.items()},
        **{CANNOT + code: True for code in said.cannot},
        **{SASH + name: text for name, text in said.sash.items()},
    }


def revisions_in_force() -> dict[str, Revision]:
    """Every family that has a table in force, by code, in the order of their names."""
    return {one.family.code: one for one in lookup.all_in_force()}


class CounterForm:
    """The whole page: head, openings, and the version that the writer had before them."""

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
        stored = openings_of(request) if request else {}
        openings = [opening_posted(data, index, revisions, stored) for index in indexes(data)]
        try:
            page = uuid.UUID(str(data.get("page")))
        except ValueError:
            page = uuid.uuid4()
        version = whole_number(data.get("version", "")) or 0
        return cls(HeadForm(data), openings, version, page)

    def add_opening(self, revisions: Mapping[str, Revision]) -> OpeningForm:
        last = self.openings[-1] if self.openings else None
        opening = next_opening(last, revisions)
        self.openings.append(opening)
        return opening

    def is_valid(self) -> bool:
        """Whether all of it can be stored. Texts that say no length do not stand in the way."""
        return all([self.head.is_valid(), *(o.is_valid() for o in self.openings)])

    @property
    def staying(self) -> list[OpeningForm]:
        return [o for o in self.openings if not o.cleaned_data.get("gone")]

    def said(self) -> SaidRequest:
        clean = self.head.cleaned_data
        head = {
            name: clean.get(name) or "" for name in ("caller", "phone", "email", "language", "note")
        }
        openings = tuple(o.said() for o in self.staying)
        return SaidRequest(**head, needed_by=clean.get("needed_by"), openings=openings)

    @property
    def errors(self) -> list[tuple[str, str]]:
        """(id of the field, sentence) of everything that is wrong, from the top of the page down."""
        found = [(name, e) for name, errors in self.head.errors.items() for e in errors]
        for opening in self.openings:
            for name, errors in opening.errors.items():
                at = f"o{opening.index}" if name == "__all__" else opening.add_prefix(name)
                found += [(at, f"{opening.heading}: {e}") for e in errors]
        return found


def indexes(data: Any) -> list[int]:
    """The openings of a page by their numbers on it, in order, each once."""
    numbers: Sequence[str] = data.getlist("openings")
    return list(dict.fromkeys(int(n) for n in numbers if re.fullmatch(r"[0-9]{1,3}", n)))


def openings_of(request: Request) -> dict[int, Opening]:
    return {o.pk: o for o in request.openings.select_related("revision__family")}


def opening_posted(
    data: Mapping[str, Any],
    index: int,
    revisions: Mapping[str, Revision],
    stored: Mapping[int, Opening],
) -> OpeningForm:
    key = None
    with contextlib.suppress(ValueError):
        key = int(data.get(f"o{index}-key", ""))
    return OpeningForm(data, index, revisions, stored.get(key))


def next_opening(
    last: OpeningForm | None, revisions: Mapping[str, Revision], index: int | None = None
) -> OpeningForm:
    """A blank opening after `last`: the next window of a house is mostly of its family and finish."""
    if last is None:
        return OpeningForm(None, index or 0, revisions)
    known = SaidOpening(last.revision.family.code, finish=last.said().finish)
    return OpeningForm(None, last.index + 1 if index is None else index, revisions, known=known)
