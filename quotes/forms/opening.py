"""One opening on the counter page: its boxes follow the table of the family chosen in it."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django import forms

from quotes.answering import askable
from quotes.models import Opening
from quotes.said import SASH_FIELDS, SaidOpening
from sizing import lookup
from sizing.about import reach_in_words, said_as_about
from sizing.glass import FRAMES
from sizing.models import Revision
from sizing.own_words import Form
from sizing.table import Measure, SizeTable
from sizing.tokens import LONGEST_TEXT

MEASURE, CANNOT, SASH = "m-", "cannot-", "sash-"


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


class OpeningForm(Form):
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
                required=False, max_length=LONGEST_TEXT, label=measure.label, strip=True
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
            required=False, max_length=LONGEST_TEXT, label="Glass width"
        )
        self.fields[SASH + "thickness"] = forms.CharField(
            required=False, max_length=LONGEST_TEXT, label="Thickness of one pane"
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
        """A box for each measure that is asked for, in the table's order."""
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
        """The boxes that describe a sash whose weight nobody knows; none where the table asks for no weight."""
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
        """Its label, cut at 40 letters, or its number on the page."""
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
        measures |= {name[start:][:40]: text[:LONGEST_TEXT] for name, text in self.left_over}
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


def opening_posted(
    data: Mapping[str, Any],
    index: int,
    revisions: Mapping[str, Revision],
    stored: Mapping[int, Opening],
) -> OpeningForm:
    """The opening of this number on the page as it was sent, with the one it was `stored` as, if it was."""
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
