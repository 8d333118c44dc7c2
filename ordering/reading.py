"""Reads one factory's past, calendar and families from the database into what is learned from them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
from django.conf import settings

from ordering.estimator.learned import NEVER, Declared, Learned, Part, Past, first_read, learn
from ordering.models import PastOrder
from ordering.words import is_own
from sizing.models import Factory
from sizing.models import Part as TablePart

HALF_LIFE = 180.0
BATCH = 20_000


def half_life() -> float:
    return getattr(settings, "LEAD_TIME_HALF_LIFE_DAYS", HALF_LIFE)


def read_and_learn(factory: Factory, as_of: date) -> Learned:
    """Fitted anew; memory grows by 50 bytes an order."""
    families = list(factory.families.order_by("id"))
    places = {family.pk: place for place, family in enumerate(families)}
    parts = _Parts(places)
    past = _past(places, parts, as_of)
    return learn(
        [Declared(f.code, f.lead_weeks_min, f.lead_weeks_max) for f in families],
        parts.found,
        past,
        as_of,
        country=factory.country,
        region=factory.region,
        shutdowns=tuple(factory.shutdowns.values_list("first_day", "last_day")),
        half_life=half_life(),
    )


class _Parts:
    """Numbers parts as they are met, with weight class and finish from the tables where they know them."""

    def __init__(self, places: dict[int, int]) -> None:
        self.found: list[Part] = []
        self._at: dict[tuple[int, str], int] = {}
        rows = (
            TablePart.objects.filter(revision__family__in=list(places), part_number__gt="")
            .order_by("revision__number")
            .values_list("revision__family", "part_number", "weight_class", "finish")
        )
        for family, number, weight_class, finish in rows.iterator(chunk_size=BATCH):
            part = Part(places[family], number, weight_class, finish)
            at = self._at.setdefault((part.family, number), len(self.found))
            self.found[at : at + 1] = [part]

    def at(self, family: int, number: str) -> int:
        at = self._at.setdefault((family, number), len(self.found))
        if at == len(self.found):
            self.found.append(Part(family, number))
        return at


def _past(places: dict[int, int], parts: _Parts, as_of: date) -> Past:
    rows = PastOrder.objects.filter(
        family__in=list(places), ordered_on__range=(first_read(as_of), as_of), weeks_min=None
    ).order_by("ordered_on", "id")
    fields = rows.values_list(
        "family", "part_number", "quantity", "ordered_on", "shipped_on", "promised_on", "digits",
        "reference",
    )  # fmt: skip
    columns: list[list[np.ndarray]] = [[] for _ in range(6)]
    batch: list[tuple] = []

    def flush() -> None:
        family, number, quantity, *days, digits, references = zip(*batch, strict=True)
        imported = [bool(d) or not is_own(r) for d, r in zip(digits, references, strict=True)]
        ordered, shipped, promised = (
            np.array([NEVER if d is None else d for d in column], dtype="datetime64[D]")
            for column in days
        )
        part = np.array([parts.at(places[f], n) for f, n in zip(family, number, strict=True)])
        for column, values in zip(
            columns,
            (ordered, shipped, promised, np.array(quantity), part, np.array(imported)),
            strict=True,
        ):
            column.append(values)
        batch.clear()

    for row in fields.iterator(chunk_size=BATCH):
        batch.append(row)
        if len(batch) == BATCH:
            flush()
    if batch:
        flush()
    if not columns[0]:
        none = np.array([], dtype="datetime64[D]")
        return Past(none, none, none, np.array([], dtype=int), np.array([], dtype=int))
    *found, theirs = (np.concatenate(column) for column in columns)
    return ended(Past(*found), theirs)


def ended(past: Past, imported: np.ndarray) -> Past:
    """What was imported ends with the last day that it speaks of: what it left open is not heard of again."""
    days = np.concatenate([past.ordered[imported], past.shipped[imported]])
    days = days[~np.isnat(days)]
    if not days.size:
        return past
    left_open = imported & np.isnat(past.shipped)
    return replace(past, heard=np.where(left_open, days.max(), NEVER))
