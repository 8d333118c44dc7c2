"""Reads size tables: which revision is in force, a revision as plain data, and compiled for the resolver."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from django.conf import settings
from django.db.models import CharField, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone
from django.utils.formats import date_format

from sizing import models
from sizing.lengths import Length, Unit
from sizing.people import signed
from sizing.prices import in_minor_units
from sizing.resolver import CompiledTable, Costs, Shares, compile_table
from sizing.standing import KEYS, TODAY, Place, StandingQuestion, keys_at_once
from sizing.table import (
    Column,
    FitQuestion,
    Measure,
    Part,
    SizeTable,
    Slip,
    spoken,
    with_slips_scaled,
)
from sizing.weights import Weight, WeightUnit
from sizing.wording import language

# A day as pages write it: 7 Dec 2026.
DAY = "j M Y"


class NoTableError(LookupError):
    """The family is unknown or has no table in force: one sentence, with the families there are."""


class NotMadeError(NoTableError):
    """`family` is not made any more."""

    def __init__(self, family: models.Family) -> None:
        since = date_format(family.not_made_from, DAY)
        super().__init__(f"Family {family.code} has not been made since {since}.")
        self.family = family


def counting(on: date | Place | None = None) -> Q:
    """Revisions that a day (today) may be answered from: in force by then, of families that are still made."""
    day = on or timezone.localdate()
    made = Q(family__not_made_from=None) | Q(family__not_made_from__gt=day)
    return Q(in_force_from__lte=day) & made


def any_in_force() -> bool:
    """Whether there is anything to answer from yet."""
    return models.Revision.objects.filter(counting()).exists()


def in_force(family_code: str, on: date | None = None) -> models.Revision:
    """The revision that counts on a day (today): the latest `in_force_from` up to it, then the highest number.

    Raises NoTableError, of a family that is not made any more NotMadeError.
    """
    day = on or timezone.localdate()
    found = (
        models.Revision.objects.select_related("family", "factory")
        .filter(counting(day), family__code=family_code)
        .order_by("-in_force_from", "-number")
        .first()
    )
    if found is None:
        raise _none(family_code, day)
    return found


def all_in_force(on: date | None = None) -> list[models.Revision]:
    """The revision of every family that counts on a day (today), by the family's name; in one query."""
    return list(_ALL_IN_FORCE(today=on or timezone.localdate()))


def in_force_among(keys: Collection[int]) -> list[models.Revision]:
    """Of the revisions with these keys those that count today."""
    return list(_THESE_IN_FORCE(today=timezone.localdate(), keys=keys))


def _all_in_force() -> QuerySet[models.Revision]:
    dated = models.Revision.objects.filter(counting(TODAY))
    latest = dated.filter(family=OuterRef("family")).order_by("-in_force_from", "-number")
    found = dated.filter(pk=Subquery(latest.values("pk")[:1]))
    return found.select_related("family", "factory").order_by("family__name")


_ALL_IN_FORCE = StandingQuestion(_all_in_force())
_THESE_IN_FORCE = StandingQuestion(_all_in_force().filter(pk__among=KEYS))


def _none(code: str, day: date) -> NoTableError:
    """Why there is no table of that family to answer from on a day."""
    family = models.Family.objects.filter(code=code).first()
    if family is None:
        codes = ", ".join(models.Family.objects.order_by("code").values_list("code", flat=True))
        there = f"there are {codes}" if codes else "none is loaded yet"
        return NoTableError(f"No family “{code}” here; {there}.")
    if not family.is_made(day):
        return NotMadeError(family)
    none = f"Family {code} has no table in force on {date_format(day, DAY)}"
    later = family.revisions.filter(in_force_from__gt=day).order_by("in_force_from").first()
    if later:
        first = date_format(later.in_force_from, DAY)
        return NoTableError(f"{none}; its first counts from {first}.")
    return NoTableError(f"{none}; its draft waits to be put in force.")


def table_of(revision: models.Revision) -> SizeTable:
    """The revision as plain data, in the reader's language as far as it has words in it.

    Kept in memory: a revision's content never changes under its digest.
    """
    return _spoken(revision.pk, revision.digest, language())


@lru_cache(maxsize=64)
def _spoken(pk: int, digest: str, reader: str) -> SizeTable:
    return spoken(_table(pk, digest), reader)


def compiled(revision: models.Revision) -> CompiledTable:
    """The revision made ready for the resolver, with the costs and shares of the settings.

    Kept in memory like `table_of`, but made anew each day: what has been sold, and what came back
    because it was measured wrongly, lean the answer.
    """
    costs, shares = Costs(**settings.RESOLVER_COSTS), Shares(**settings.RESOLVER_SHARES)
    table = table_of(revision)
    # A table without words of its own in the language is the English one, and made ready once.
    spoken_in = language() if table.words else ""
    return _compiled(revision.pk, revision.digest, costs, shares, timezone.localdate(), spoken_in)


@lru_cache(maxsize=64)
def _compiled(
    pk: int, digest: str, costs: Costs, shares: Shares, day: date, reader: str
) -> CompiledTable:
    sold = tuple(models.Row.objects.filter(revision=pk).values_list("sold", flat=True))
    factor = models.Family.objects.values_list("slip_factor", flat=True).get(revisions=pk)
    table = with_slips_scaled(_spoken(pk, digest, reader), factor)
    return _made_ready(table, costs, shares, sold if any(sold) else None)


@lru_cache(maxsize=64)
def _made_ready(
    table: SizeTable, costs: Costs, shares: Shares, sold: tuple[int, ...] | None
) -> CompiledTable:
    """By its content: on a day on which nothing has changed yesterday's is as good."""
    return compile_table(table, costs, shares, sold)


@lru_cache(maxsize=64)
def _table(pk: int, digest: str) -> SizeTable:
    revision = models.Revision.objects.select_related("family", "factory").get(pk=pk)
    rows = list(revision.rows.values_list("pk", "lengths"))
    return SizeTable(
        code=revision.family.code,
        name=revision.name,
        factory=revision.factory.name,
        unit=Unit(revision.unit),
        weight_unit=WeightUnit(revision.weight_unit),
        currency=revision.currency,
        lead_weeks_min=revision.lead_weeks_min,
        lead_weeks_max=revision.lead_weeks_max,
        columns=tuple(Column(*c) for c in revision.columns.values_list("code", "label")),
        rows=tuple(tuple(Length(length) for length in lengths) for _, lengths in rows),
        measures=_measures(revision),
        slips=_slips(revision),
        parts=_parts(revision, {key: at for at, (key, _) in enumerate(rows)}),
        fit=tuple(
            FitQuestion(*f)
            for f in revision.fit_questions.values_list("question", "answer_that_fits", "otherwise")
        ),
        sold_as=revision.sold_as,
        carries_sash=revision.carries_sash,
        girth=None if revision.girth is None else Length(revision.girth),
        linear_weight=None if revision.linear_weight is None else Weight(revision.linear_weight),
        words=tuple((one, text, words) for one, text, words in revision.words),
    )


def _measures(revision: models.Revision) -> tuple[Measure, ...]:
    fields = ("code", "label", "column__code", "kind", "tolerance", "how_to", "sash")
    return tuple(
        Measure(*rest, sash=sash or None) for *rest, sash in revision.measures.values_list(*fields)
    )


def _slips(revision: models.Revision) -> tuple[Slip, ...]:
    fields = ("measure__code", "name", "shift_min", "shift_max", "share")
    # In the order they were written: a table is equal to itself only with its slips in order.
    slips = models.Slip.objects.filter(measure__revision=revision).order_by("pk")
    return tuple(Slip(*values) for values in slips.values_list(*fields))


def _parts(revision: models.Revision, position: dict[int, int]) -> tuple[Part, ...]:
    fields = (
        "row_id", "weight_class", "weight_min", "weight_max", "finish", "part_number", "price",
    )  # fmt: skip
    return tuple(
        Part(
            position[row],
            weight_class,
            low,
            high,
            finish,
            number or None,
            None if price is None else in_minor_units(price, revision.currency),
        )
        for row, weight_class, low, high, finish, number, price in revision.parts.order_by(
            "pk"
        ).values_list(*fields)
    )


def family_key(code: str) -> int:
    """The key of the family with this code, to narrow a list by: of a code PostgreSQL can't tell how many rows have it,
    and goes through all. Raises ValueError if there is none."""
    (key,) = keys_at_once(_FAMILY(code=code))
    return key


_FAMILY = StandingQuestion(
    models.Family.objects.filter(code=Place("code", CharField())).order_by().values_list("pk")
)


@dataclass(frozen=True)
class FamilyState:
    """A family with the revision that counts today, the next one, and the draft (each may be None).

    Of a family that is not made any more none counts, today or later.
    """

    family: models.Family
    now: models.Revision | None
    next: models.Revision | None
    draft: models.Revision | None


def family_states(on: date | None = None, code: str | None = None) -> list[FamilyState]:
    """Every family (or the one with this code) in two queries, by name."""
    day = on or timezone.localdate()
    families = models.Family.objects.select_related("factory").order_by("name")
    if code is not None:
        families = families.filter(code=code)
    found = list(families.prefetch_related("revisions"))
    for family in found:
        signed(family.revisions.all(), "published_by")
    return [_state(family, day) for family in found]


def _state(family: models.Family, day: date) -> FamilyState:
    dated = sorted(
        (r for r in family.revisions.all() if r.in_force_from),
        key=lambda r: (r.in_force_from, r.number),
    )
    past = [r for r in dated if r.in_force_from <= day]
    coming = [r for r in dated if r.in_force_from > day]
    draft = next((r for r in family.revisions.all() if r.in_force_from is None), None)
    if not family.is_made(day):
        return FamilyState(family, None, None, draft)
    return FamilyState(family, past[-1] if past else None, coming[0] if coming else None, draft)
