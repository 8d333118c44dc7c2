"""Works out the window of every family and part, and publishes it beside the family for quotes to show.

What was sold of each size, and what came back measured wrongly, go along: the resolver's answers lean
on them.

One factory at a time, so memory is that of the largest factory's past.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from django.db import transaction
from django.db.models import F, Sum
from django.utils import timezone
from django_tasks import task

from ordering.answers import lead_times
from ordering.estimator.basis import Basis
from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.estimator.learned import Part
from ordering.fits import fit_anew
from ordering.models import OrderLine, PastOrder
from ordering.states import Cause
from quotes.desk.holding import hold_one
from sizing.models import Factory, Family, PublishedShutdown, PublishedWindow
from sizing.tables import record_remakes, record_sold
from sizing.wording import LANGUAGES, speaking
from sizing.workdays import Calendar

BLOCK, SOLD_YEARS = 2000, 2
# As far as holidays worked are published: further than any window reaches.
WEEK_AHEAD = timedelta(days=3 * 366)


def publish_windows(as_of: date | None = None) -> int:
    """Replace every published window by today's (or another day's); returns how many there are."""
    day = as_of or timezone.localdate()
    count = 0
    for factory in Factory.objects.filter(families__isnull=False).distinct().order_by("id"):
        count += publish_factory(factory, day)
        for family in factory.families.all():
            record_sold(family, sold_of(family, day), day)
            record_remakes(family, *remakes_of(family, day))
    return count


def publish_factory(factory: Factory, day: date) -> int:
    """Fit a factory's past anew and replace its published windows and shutdowns; how many windows."""
    known = lead_times(factory, day, fit_anew(factory, day))
    families = {family.code: family for family in factory.families.all()}
    # Worked out before the transaction: a window takes its time, and others are waiting to write.
    windows = list(_windows(known, families))
    with transaction.atomic():
        # Two workers on one morning: the second waits here and then replaces what the first has written.
        hold_one(Factory.objects.filter(pk=factory.pk))
        PublishedWindow.objects.filter(family__factory=factory).delete()
        PublishedWindow.objects.bulk_create(windows, batch_size=BLOCK)
        _publish_week(factory, known.calendar, day)
        factory.published_shutdowns.all().delete()
        PublishedShutdown.objects.bulk_create(
            PublishedShutdown(factory=factory, first_day=first, last_day=last)
            for first, last in sorted(known.calendar.shutdowns)
            if last >= day
        )
    return len(windows)


def _publish_week(factory: Factory, calendar: Calendar, day: date) -> None:
    """The calendar's weekend, and the holidays worked that a window of today may reach."""
    ahead = sorted(one for one in calendar.worked if day <= one <= day + WEEK_AHEAD)
    Factory.objects.filter(pk=factory.pk).update(
        published_weekend="".join(map(str, sorted(calendar.weekend))),
        published_worked=" ".join(one.isoformat() for one in ahead),
    )


@task()
def publish_again(factory_pk: int) -> None:
    """Today's windows of a factory whose days or supplies a manager has changed."""
    factory = Factory.objects.filter(pk=factory_pk).first()
    if factory:
        publish_factory(factory, timezone.localdate())


def sold_of(family: Family, day: date) -> dict[str, int]:
    """Pieces by part number ordered in the SOLD_YEARS before a day: the past, and orders not sent yet.

    What is made again was sold once.
    """
    since = day - timedelta(days=round(SOLD_YEARS * 365.25))
    past = PastOrder.objects.filter(family=family, ordered_on__range=(since, day))
    lines = OrderLine.objects.filter(family=family)
    waiting = lines.filter(is_open=True, sent_on=None, order__placed_on__lte=day, remake_of=None)
    # Among the past orders, too, as its days are a lead time like any other.
    again = lines.filter(remake_of__isnull=False, sent_on__range=(since, day))
    going = F("quantity") - F("cancelled")
    sold: dict[str, int] = defaultdict(int)
    for rows, number, count in (
        (past, "part_number", F("quantity")),
        (waiting, "part__part_number", going),
        (again, "part__part_number", -going),
    ):
        counted = rows.order_by().values_list(number).annotate(pieces=Sum(count))
        for part, pieces in counted:
            if part:
                sold[part] += pieces
    return {part: pieces for part, pieces in sold.items() if pieces > 0}


def remakes_of(family: Family, day: date) -> tuple[int, int]:
    """Lines ordered in the SOLD_YEARS before a day, and how many were made again because the caller had
    measured wrongly."""
    since = day - timedelta(days=round(SOLD_YEARS * 365.25))
    lines = OrderLine.objects.filter(family=family, order__placed_on__range=(since, day))
    by_caller = lines.filter(remake_of__isnull=False, cause=Cause.CALLER)
    return lines.filter(remake_of=None).count(), by_caller.count()


def _in_other_languages(basis: Basis) -> dict[str, str]:
    said = {}
    for language in LANGUAGES[1:]:
        with speaking(language):
            said[language] = basis.for_customers()
    return said


def _windows(known: FactoryLeadTimes, families: dict[str, Family]) -> Iterator[PublishedWindow]:
    now = timezone.now()
    codes = [declared.code for declared in known.learned.families]
    asked: list[tuple[str, Part | None]] = [(code, None) for code in codes]
    # What was made to measure has no number: the family's window is that of all its like.
    asked += [(codes[part.family], part) for part in known.learned.parts if part.number]
    for code, part in asked:
        span, basis = known.published(part, code)
        yield PublishedWindow(
            family=families[code],
            part_number=part.number if part else "",
            earliest_days=span.earliest,
            likely_days=span.likely,
            latest_days=span.latest,
            basis=basis.for_customers(),
            basis_words=_in_other_languages(basis),
            published_at=now,
        )
