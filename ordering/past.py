"""Writes what lead times are learned from: past orders."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Count, Exists, OuterRef

from ordering.fits import past_changed, past_is_stored
from ordering.history import Line, blocks
from ordering.models import PastOrder
from ordering.words import digits_of, is_own
from sizing.models import Part as TablePart

# A transaction's: measured, a third of a second holds 5,000 of them.
BLOCK = 2000


@dataclass(frozen=True)
class Stored:
    """`early_promises`: promised before the order itself; kept, and not taken for a promise. `own`: lines of the
    desk's own orders, which are left as they are."""

    lines: int
    new: int
    early_promises: int
    own: int = 0


def store(lines: Iterable[Line]) -> Stored:
    """Store past orders; a reference that is there already is brought up to date.

    A transaction for each BLOCK, so that nobody waits long to write: what breaks off is finished by storing the
    same lines again. Until the end everybody goes by what was learned from the past as it was before; also that of
    one that was killed is known, a while after its last block (`fits.STORING`).
    """
    count = new = early = own = 0
    families: set[int] = set()
    try:
        for block in blocks(lines, BLOCK):
            families.update(line.family for line in block)
            with transaction.atomic():
                fresh, known = _store(block)
                past_is_stored(families)
            new, own = new + fresh, own + known
            count += len(block)
            early += sum(
                line.promised_on is not None and line.promised_on < line.ordered_on
                for line in block
            )
    finally:
        past_changed(families, stored=True)
    return Stored(count, new, early, own)


def _store(block: Sequence[Line]) -> tuple[int, int]:
    """How many of them are new, and how many the desk's own: a file given out before knows less of these."""
    there = PastOrder.objects.filter(reference__in=[line.reference for line in block])
    digits = dict(there.values_list("reference", "digits"))
    own = {reference for reference, kept in digits.items() if not kept and is_own(reference)}
    PastOrder.objects.bulk_create(
        [
            PastOrder(
                reference=line.reference,
                family_id=line.family,
                part_number=line.part_number,
                quantity=line.quantity,
                ordered_on=line.ordered_on,
                shipped_on=line.shipped_on,
                promised_on=line.promised_on,
                digits=digits_of(line.reference),
            )
            for line in block
            if line.reference not in own
        ],
        update_conflicts=True,
        unique_fields=["reference"],
        update_fields=[
            "family", "part_number", "quantity", "ordered_on", "shipped_on", "promised_on",
        ],
    )  # fmt: skip
    return len(block) - len(digits), len(own)


def unknown_parts() -> tuple[int, list[str]]:
    """How many orders of the past have a part number that no size table has, and those numbers in order."""
    known = TablePart.objects.filter(
        revision__family=OuterRef("family"), part_number=OuterRef("part_number")
    )
    counts = list(
        PastOrder.objects.order_by()
        .values("family", "part_number")
        .annotate(orders=Count("id"))
        .filter(~Exists(known))
        .values_list("part_number", "orders")
    )
    return sum(orders for _, orders in counts), sorted({number for number, _ in counts})
