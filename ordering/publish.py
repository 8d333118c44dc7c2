"""Works out the window of every family and part, and publishes it beside the family for quotes to show.

One factory at a time, so memory is that of the largest factory's past.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from django.db import transaction
from django.utils import timezone

from ordering.answers import lead_times
from ordering.lead_time import FactoryLeadTimes, Part
from sizing.models import Factory, Family, PublishedWindow

BLOCK = 2000


def publish_windows(as_of: date | None = None) -> int:
    """Replace every published window by today's (or another day's); returns how many there are."""
    day = as_of or timezone.localdate()
    count = 0
    for factory in Factory.objects.filter(families__isnull=False).distinct().order_by("id"):
        known = lead_times(factory, day)
        families = {family.code: family for family in factory.families.all()}
        with transaction.atomic():
            PublishedWindow.objects.filter(family__factory=factory).delete()
            windows = list(_windows(known, families))
            PublishedWindow.objects.bulk_create(windows, batch_size=BLOCK)
        count += len(windows)
    return count


def _windows(known: FactoryLeadTimes, families: dict[str, Family]) -> Iterator[PublishedWindow]:
    now = timezone.now()
    codes = [declared.code for declared in known.families]
    asked: list[tuple[str, Part | None]] = [(code, None) for code in codes]
    asked += [(codes[part.family], part) for part in known.parts]
    for code, part in asked:
        span, basis = known.published(part, code)
        yield PublishedWindow(
            family=families[code],
            part_number=part.number if part else "",
            earliest_days=span.earliest,
            likely_days=span.likely,
            latest_days=span.latest,
            basis=basis,
            published_at=now,
        )
