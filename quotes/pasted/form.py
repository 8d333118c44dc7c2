"""What was found in a message, as a page of boxes to confirm.

The whole state is in the page: the text as it was read is sent along and read again, so every box
keeps the words it came from, and what the clerk changed is known from what the message says.
"""

from __future__ import annotations

import contextlib
import uuid
from collections.abc import Mapping
from dataclasses import dataclass

from django.http import QueryDict
from django.utils import timezone

from quotes.desk.requests import MOST_OPENINGS
from quotes.forms.counter import CallForm, HeadForm, indexes
from quotes.messages import LONGEST, Message, ReadOpening, Stretch, read_message
from quotes.messages.days import named_days, the_day
from quotes.pasted.box import plain_lines
from quotes.pasted.doubts import Doubt, boxes_for, doubts_of, place_all
from quotes.pasted.marks import Mark, Piece, cut
from quotes.pasted.opening import PastedOpening, Source, SourcedBox, said_opening
from quotes.said import Difference, SaidOpening, SaidRequest, differences
from sizing import lookup
from sizing.models import Revision
from sizing.table import SizeTable

# The counter's name of each part of a contact, and the reader's.
CONTACT = {"caller": "name", "phone": "phone", "email": "email"}


@dataclass(frozen=True)
class Choice:
    """Boxes of one opening that words may go into: (id of the box, label)."""

    heading: str
    boxes: tuple[tuple[str, str], ...]


class PastedForm(CallForm[PastedOpening]):
    """A message that was read, with what the clerk made of it so far. Build with `fresh` or `posted`."""

    doubts: list[Doubt]
    marks: list[Mark]

    def __init__(self, text: str, revision: Revision, region: str) -> None:
        self.text, self.revision = text, revision
        self.table: SizeTable = lookup.table_of(revision)
        self.message: Message = read_message(text, self.table, region)
        self.days = named_days(text, timezone.localdate())
        self.unsure = tuple(words for words in self.message.unsure if not self._in_a_day(words))
        self.found: tuple[ReadOpening, ...] = self.message.openings[:MOST_OPENINGS]
        self.page = uuid.uuid4()

    @classmethod
    def fresh(
        cls, text: str, family: str, revisions: Mapping[str, Revision], region: str
    ) -> PastedForm:
        """The message as it is read for the first time, or anew."""
        form = cls(text, revisions[family], region)
        said = form.as_read()
        form.head = HeadForm(
            initial={name: getattr(said, name) for name in (*CONTACT, "needed_by")}
        )
        form.openings = [
            PastedOpening(None, at, revisions, known=known)
            for at, known in enumerate(said.openings)
        ]
        form.doubts = doubts_of(form.unsure)
        form._mark()
        form.head.fields["caller"].widget.attrs["autofocus"] = True
        return form

    @classmethod
    def posted(cls, data: QueryDict, revisions: Mapping[str, Revision], region: str) -> PastedForm:
        """The page as it came back; words that were given a place go into their boxes."""
        read_by = revisions.get(data.get("read_by", "")) or next(iter(revisions.values()))
        form = cls(plain_lines(data.get("read", ""))[:LONGEST], read_by, region)
        data = data.copy()
        before = set(data.getlist("placed"))
        counted = {f"o{n}-quantity" for n, o in enumerate(form.found) if o.quantity_words}
        form.doubts = place_all(doubts_of(form.unsure), data, form.table, counted)
        known = dict(enumerate(form.as_read().openings))
        form.openings = [
            PastedOpening(data, index, revisions, known=known.get(index)) for index in indexes(data)
        ]
        form.head = HeadForm(data)
        form._mark()
        form._focus(next((d for d in form.doubts if d.done and d.kept not in before), None))
        with contextlib.suppress(ValueError):
            form.page = uuid.UUID(data.get("page", ""))
        return form

    def as_read(self) -> SaidRequest:
        """What the message says by itself, as a request; one blank opening if it says of none."""
        contact = self.message.contact
        # The telephone as it was written, as a clerk would have typed it.
        phone = dict(contact.words).get("phone") or contact.phone or ""
        openings = tuple(said_opening(found, self.table) for found in self.found)
        return SaidRequest(
            caller=contact.name or "",
            phone=phone,
            email=contact.email or "",
            needed_by=the_day(self.days),
            openings=openings or (SaidOpening(self.table.code),),
        )

    # the words

    def _in_a_day(self, words: Stretch) -> bool:
        return any(day.words.start <= words.start < day.words.end for day in self.days)

    def _mark(self) -> None:
        """Lead from each box to its words and from the words to their box."""
        known = dict(enumerate(self.found))
        by_index = {f"o{opening.index}": opening for opening in self.openings}
        self.marks = []
        for number, opening in enumerate(self.openings, 1):
            self.marks += opening.mark(known.get(opening.index), number)
        for doubt in self.doubts:
            at, _, name = doubt.target.partition("-")
            if doubt.done and at in by_index:
                by_index[at].sources[name] = Source(doubt.ref, doubt.words)
                self.marks.append(Mark(doubt.ref, "placed by you", doubt.target, doubt.words))
            else:
                self.marks.append(Mark(doubt.ref, "not placed", doubt.name, doubt.words, False))
        for box in self.contact_boxes:
            if box.source:
                words = dict(self.message.contact.words)[CONTACT[box.box.name]]
                self.marks.append(Mark(box.source.ref, "contact", box.box.name, words))

    def _focus(self, doubt: Doubt | None) -> None:
        """The keys go on where words were just placed."""
        for opening in self.openings if doubt else ():
            at, _, name = doubt.target.partition("-")
            if at == f"o{opening.index}" and name in opening.fields:
                opening.fields[name].widget.attrs["autofocus"] = True

    @property
    def pieces(self) -> list[Piece]:
        return cut(self.text, self.marks)

    @property
    def contact_boxes(self) -> list[SourcedBox]:
        said = dict(self.message.contact.words)
        boxes: list[SourcedBox] = []
        for name, key in CONTACT.items():
            source = Source(key, said[key]) if key in said else None
            boxes.append(SourcedBox(self.head[name], source))
        return boxes

    # what was not placed

    @property
    def open_doubts(self) -> list[Doubt]:
        return [doubt for doubt in self.doubts if not doubt.done]

    @property
    def done_doubts(self) -> list[Doubt]:
        return [doubt for doubt in self.doubts if doubt.done]

    @property
    def more_doubts(self) -> int:
        return len(self.unsure) - len(self.doubts)

    @property
    def beyond(self) -> int:
        """How many openings were found that a request has no room for."""
        return len(self.message.openings) - len(self.found)

    @property
    def choices(self) -> list[Choice]:
        """Where words may go: the boxes of each opening, and those of another one."""
        names = boxes_for(self.table)
        places = [(f"o{o.index}", f"Opening {n}") for n, o in enumerate(self.openings, 1)]
        if len(places) < MOST_OPENINGS:
            places.append(("new", "Another opening"))
        return [
            Choice(heading, tuple((f"{at}-{name}", label) for name, label in names))
            for at, heading in places
        ]

    # what the clerk made of it

    def told(self) -> list[PastedOpening]:
        """The openings that are kept: those of which something is said, or a blank one."""
        return [o for o in self.staying if not o.is_untouched] or self.staying[:1]

    def said(self, note: str = "") -> SaidRequest:
        """What the boxes say, as a request."""
        head = {name: self.head.cleaned_data.get(name) or "" for name in CONTACT}
        needed_by = self.head.cleaned_data.get("needed_by")
        openings = tuple(o.said() for o in self.told())
        return SaidRequest(**head, needed_by=needed_by, note=note, openings=openings)

    def changes(self) -> list[Difference]:
        """What the boxes say otherwise than the message: it would go if the text were read again."""
        return differences(self.as_read(), self.said())

    @property
    def errors(self) -> list[tuple[str, str]]:
        """And what hinders words that were given a place."""
        return super().errors + [
            (d.name, f"{d.ref}: {d.trouble}") for d in self.doubts if d.trouble
        ]


def live_opening(data: QueryDict, index: int, revisions: Mapping[str, Revision]) -> PastedOpening:
    """One opening of a page being typed into, for its answer alone."""
    opening = PastedOpening(data, index, revisions)
    opening.mark(None, index + 1)
    return opening
