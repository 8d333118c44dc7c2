"""Everything that writes size tables: drafts, putting in force, factories' addresses, what sold. All in one transaction each."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date

from django.db import transaction
from django.db.models import Max, Q, QuerySet
from django.utils import timezone
from django.utils.formats import date_format
from moneyed import Money

from sizing import models
from sizing.frozen import FrozenError
from sizing.lookup import DAY
from sizing.table import SizeTable, slip_factor

FACTS = (
    "name", "unit", "weight_unit", "currency", "lead_weeks_min", "lead_weeks_max",
    "sold_as", "carries_sash", "girth", "linear_weight",
)  # fmt: skip
MOST_SOLD = 2**31 - 1


class TableError(Exception):
    """A step that a table's present state does not allow: one sentence, with how to go on."""


def digest_of(table: SizeTable) -> str:
    """A fingerprint of everything the table says."""
    # What came into the table later counts only where it says something: digests of before still hold.
    said = repr(table) + (repr(table.words) if table.words else "")
    if not table.carries_sash:
        said += "carries no sash"
    return hashlib.sha256(said.encode()).hexdigest()


@transaction.atomic
def import_workbook(
    table: SizeTable, source: str, warnings: Sequence[str], on: date | None, by: str
) -> models.Revision:
    """Keeps the table as a draft and, with a date, puts it in force from then: both or neither."""
    revision = store_draft(table, source, warnings)
    return revision if on is None else put_in_force(revision, on, by)


@transaction.atomic
def store_draft(table: SizeTable, source: str, warnings: Sequence[str] = ()) -> models.Revision:
    """Keeps the table as the family's draft, in place of an older draft. What is in force stays as it is.

    A family or factory seen for the first time is created. `source` says where the table came from,
    `warnings` what was doubtful in it.
    """
    factory, _ = models.Factory.objects.get_or_create(name=table.factory)
    facts = {name: getattr(table, name) for name in FACTS}
    family, _ = models.Family.objects.select_for_update().get_or_create(
        code=table.code, defaults={**facts, "factory": factory}
    )
    family.revisions.filter(in_force_from__isnull=True).delete()
    last = family.revisions.aggregate(last=Max("number"))["last"] or 0
    revision = models.Revision.objects.create(
        family=family,
        factory=factory,
        number=last + 1,
        source=source[:255],
        warnings=list(warnings),
        digest=digest_of(table),
        words=[list(one) for one in table.words],
        **facts,
    )
    _store_measuring(table, revision)
    _store_parts(table, revision)
    return revision


def _store_measuring(table: SizeTable, revision: models.Revision) -> None:
    columns = {
        c.code: models.Column(revision=revision, position=at, code=c.code, label=c.label)
        for at, c in enumerate(table.columns)
    }
    models.Column.objects.bulk_create(columns.values())
    measures = {
        m.code: models.Measure(
            revision=revision,
            position=at,
            code=m.code,
            label=m.label,
            column=columns[m.column] if m.column else None,
            kind=m.kind,
            tolerance=m.tolerance,
            how_to=m.how_to,
            sash=m.sash or "",
        )
        for at, m in enumerate(table.measures)
    }
    models.Measure.objects.bulk_create(measures.values())
    models.Slip.objects.bulk_create(
        models.Slip(
            measure=measures[s.measure],
            name=s.name,
            shift_min=s.shift_min,
            shift_max=s.shift_max,
            share=s.share,
        )
        for s in table.slips
    )
    models.FitQuestion.objects.bulk_create(
        models.FitQuestion(
            revision=revision,
            position=at,
            question=f.question,
            answer_that_fits=f.answer_that_fits,
            otherwise=f.otherwise,
        )
        for at, f in enumerate(table.fit)
    )


def _store_parts(table: SizeTable, revision: models.Revision) -> None:
    rows = [
        models.Row(revision=revision, position=at, lengths=list(lengths))
        for at, lengths in enumerate(table.rows)
    ]
    models.Row.objects.bulk_create(rows, batch_size=500)
    models.Part.objects.bulk_create(
        (
            models.Part(
                revision=revision,
                row=rows[p.row],
                weight_class=p.weight_class,
                weight_min=p.weight_min,
                weight_max=p.weight_max,
                finish=p.finish,
                part_number=p.part_number or "",
                price=None if p.price is None else Money(p.price, table.currency),
            )
            for p in table.parts
        ),
        batch_size=500,
    )


@transaction.atomic
def put_in_force(revision: models.Revision, on: date, by: str) -> models.Revision:
    """Freezes a draft and lets it count from `on`; the family takes over its facts at once, and is made again
    if it was not made any more by then.

    Raises TableError if the draft is gone or in force already, or if `on` lies before the date of a
    revision in force (it would then never be the latest). On one date the higher number counts.
    """
    family = models.Family.objects.select_for_update().get(pk=revision.family_id)
    draft = _draft(revision)
    latest = family.revisions.aggregate(latest=Max("in_force_from"))["latest"]
    if latest and on < latest:
        other = (
            ", or take that one back first, as it does not count yet"
            if latest > timezone.localdate()
            else ""
        )
        raise TableError(
            f"A revision of {family.code} is in force from {date_format(latest, DAY)}; choose that day or a later one{other}."
        )
    draft.in_force_from, draft.published_by = on, by[:150]
    draft.published_at = timezone.now()
    draft.save()
    _take_over(family, draft)
    if not family.is_made(on):
        family.not_made_from = None
    family.save()
    return draft


def _take_over(family: models.Family, revision: models.Revision) -> None:
    for name in FACTS:
        setattr(family, name, getattr(revision, name))
    family.factory_id = revision.factory_id


@transaction.atomic
def take_back(revision: models.Revision) -> models.Revision:
    """Makes a revision that does not count yet a draft again; the family's facts are those of the one before.

    Raises TableError if its day has come, or if the family has another draft, which it would displace.
    """
    family = models.Family.objects.select_for_update().get(pk=revision.family_id)
    now = family.revisions.get(pk=revision.pk)
    if now.in_force_from is None:
        return now
    if now.in_force_from <= timezone.localdate():
        raise TableError(
            f"Revision {now.number} counts already: put the right table in force, which takes its place at once."
        )
    draft = family.revisions.filter(in_force_from__isnull=True).first()
    if draft:
        raise TableError(
            f"Draft {draft.number} waits, and a family has one draft: discard it or put it in force first."
        )
    # Nothing was answered from it yet, so it is no history: the one write past what `frozen` refuses.
    QuerySet(models.Revision).filter(pk=now.pk).update(
        in_force_from=None, published_at=None, published_by=""
    )
    before = family.revisions.filter(in_force_from__isnull=False)
    last = before.order_by("in_force_from", "number").last()
    if last:
        _take_over(family, last)
        family.save()
    now.refresh_from_db()
    return now


@transaction.atomic
def stop_offering(family: models.Family, day: date | None) -> models.Family:
    """From a day on its factory makes the family no more; None: it is made after all."""
    family = models.Family.objects.select_for_update().get(pk=family.pk)
    family.not_made_from = day
    family.save(update_fields=["not_made_from"])
    return family


@transaction.atomic
def discard_draft(revision: models.Revision) -> None:
    """Deletes a draft. Raises TableError if it is gone or in force."""
    _draft(revision).delete()


def _draft(revision: models.Revision) -> models.Revision:
    """The draft as it is now, whatever the caller's copy says."""
    now = models.Revision.objects.select_for_update().filter(pk=revision.pk).first()
    if now is None:
        raise TableError(
            "This draft was replaced or discarded in the meantime; open the present one."
        )
    if now.in_force_from is not None:
        raise TableError(str(FrozenError()))
    return now


@transaction.atomic
def set_factory(
    factory: models.Factory,
    *,
    email: str,
    contact: str,
    country: str,
    region: str,
    copies_to: str = "",
) -> models.Factory:
    """Whom the desk writes to, and the country and state whose holidays the factory keeps."""
    factory.email, factory.copies_to, factory.contact = email, copies_to, contact
    factory.country, factory.region = country, region
    factory.save()
    return factory


@transaction.atomic
def record_sold(family: models.Family, sold: Mapping[str, int], on: date) -> int:
    """Keep how many of each part number were sold with the sizes of the tables in force on or after a day.

    The one thing that changes in a table in force: it says nothing of the sizes, it leans the answers
    towards what the desk sells. Sizes not sold are set to 0. Returns how many sizes changed.
    """
    in_force = family.revisions.filter(in_force_from__isnull=False)
    now = in_force.filter(in_force_from__lte=on).order_by("in_force_from", "number").last()
    tables = in_force.filter(Q(in_force_from__gt=on) | Q(pk=now.pk if now else None))
    counts: dict[int, int] = {}
    parts = models.Part.objects.filter(revision__in=tables).exclude(part_number="")
    for row, number in parts.values_list("row", "part_number").iterator(chunk_size=2000):
        counts[row] = counts.get(row, 0) + sold.get(number, 0)
    changed = []
    for row in models.Row.objects.filter(revision__in=tables):
        count = min(counts.get(row.pk, 0), MOST_SOLD)
        if row.sold != count:
            row.sold = count
            changed.append(row)
    models.Row.objects.bulk_update(changed, ["sold"], batch_size=200)
    return len(changed)


@transaction.atomic
def record_remakes(family: models.Family, lines: int, remakes: int) -> float:
    """Keep how much more often callers measure wrongly than declared: of so many lines ordered, so many
    were made again for that. Returns the factor that the slips' shares are scaled by."""
    family.slip_factor = slip_factor(lines, remakes)
    family.save(update_fields=["slip_factor"])
    return family.slip_factor
