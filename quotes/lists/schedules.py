"""Reads window schedules: the pages' lines, what needs a look first, and the answers for the workbook."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Q, QuerySet

from quotes.against import asked_after
from quotes.answer_sheet import TO_BE_CLEARED
from quotes.documents.content import show_price
from quotes.models import Schedule, ScheduleLine
from quotes.schedule import Field, Result, annotated_bytes, fields_of
from quotes.schedule.columns import COUNT, LABEL
from sizing import lookup
from sizing.lists import between
from sizing.prices import in_minor_units
from sizing.resolver.explain import certainty_in_words

Attention = ScheduleLine.Attention
SHAPES = {
    Attention.UNREADABLE: "error",
    Attention.ASK: "ask",
    Attention.SPECIAL: "special",
    Attention.DOUBT: "part",
    Attention.PART: "part",
}


@dataclass(frozen=True)
class Shown:
    """A line as the page shows it."""

    line: ScheduleLine
    fields: tuple[Field, ...]
    currency: str

    @property
    def shape(self) -> str:
        return SHAPES.get(self.line.attention, "")

    @property
    def label(self) -> str:
        return self.line.cells.get(LABEL, "") or "no label"

    @property
    def count(self) -> str:
        return self.line.cells.get(COUNT, "") or "1"

    @property
    def typed(self) -> list[tuple[str, str]]:
        """(heading, text) of each measure and the finish, as typed: a column each, "" where nothing was."""
        cells, cannot = self.line.cells, self.line.cannot
        return [
            (field.heading, "can't" if field.code in cannot else cells.get(field.code, ""))
            for field in measured(self.fields)
        ]

    @property
    def width(self) -> int:
        """The table's columns: row, window, count, answer, price and the way to mend it beside what was typed."""
        return 6 + len(self.typed)

    @property
    def changed(self) -> list[str]:
        names = {field.code: field.heading for field in self.fields}
        return [f"{names.get(c, c)} was {was or 'blank'}" for c, was in self.line.was.items()]

    @property
    def words(self) -> str:
        if self.line.problems:
            return " ".join(self.line.problems.values())
        text = self.line.answer.get("text", "")
        for start in ("Special quote: ", f"Part {self.part_number}: "):
            text = text.removeprefix(start)
        text = text[:1].upper() + text[1:]
        # What nobody should order past comes before what is longer.
        return f"{self.against} {asked_after(text)}" if self.against else text

    @property
    def against(self) -> str:
        """What a number says against the answer; nothing is certain beside it."""
        return self.line.answer.get("against", "")

    @property
    def part_number(self) -> str:
        return self.line.answer.get("part_number") or ""

    @property
    def sure(self) -> str:
        certainty = self.line.answer.get("certainty")
        if self.against:
            return TO_BE_CLEARED
        return "" if certainty is None else certainty_in_words(certainty)

    @property
    def price(self) -> str:
        price = self.line.part.price if self.line.part else None
        return show_price(price.amount, self.currency) if price else ""


def lines_of(schedule: Schedule) -> QuerySet[ScheduleLine]:
    """What needs a look first: errors, questions, specials, then parts; each in the sender's order."""
    return schedule.lines.select_related("part", "opening").order_by("attention", "position")


def measured(fields: Iterable[Field]) -> list[Field]:
    """Those that say what the window is: all but its label and how many there are."""
    return [field for field in fields if field.code not in (LABEL, COUNT)]


def shown(schedule: Schedule, lines: Iterable[ScheduleLine]) -> list[Shown]:
    table = lookup.table_of(schedule.revision)
    fields = fields_of(table)
    return [Shown(line, fields, table.currency) for line in lines]


def counts_of(schedule: Schedule) -> list[tuple[Attention, int]]:
    """How many lines stand where, what needs a look first; kinds without a line are left out."""
    found = dict(schedule.lines.order_by().values_list("attention").annotate(count=Count("id")))
    return [(kind, found[kind]) for kind in Attention if kind in found]


def all_schedules(said: Mapping[str, Any]) -> QuerySet[Schedule]:
    """Those with all the words in their workbook's or sender's name, of the family, of these days."""
    found = Schedule.objects.all()
    for word in said["q"].split():
        found = found.filter(Q(name__icontains=word) | Q(caller__icontains=word))
    if said["family"]:
        found = found.filter(family=lookup.family_key(said["family"]))
    found = found.filter(between("created_at", said["since"], said["until"]))
    return found.order_by("-id")


def annotated(schedule: Schedule) -> bytes:
    """The sender's workbook with the answers as they stand now."""
    lines = schedule.lines.select_related("part").order_by("position")
    revision = schedule.revision
    return annotated_bytes(
        bytes(schedule.content),
        title=schedule.title,
        head_row=schedule.head_row,
        own=schedule.own,
        results={s.line.row: _result(s) for s in shown(schedule, lines)},
        currency=revision.currency,
        sold_as=revision.sold_as,
    )


def _result(seen: Shown) -> Result:
    line = seen.line
    price = line.part.price if line.part else None
    settled = line.attention != Attention.LEFT_OUT
    return Result(
        outcome=line.get_attention_display(),
        part=seen.part_number if settled else "",
        words=seen.words if settled else "",
        certainty=line.answer.get("certainty") if settled and not seen.against else None,
        price=in_minor_units(price.amount, seen.currency) if price and settled else None,
        changed="; ".join(seen.changed),
    )
