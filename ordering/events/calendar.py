"""What a manager says of a factory's days: weeks it is shut, and what it can't start before a day.

The worker publishes the factory's windows anew with each change.
"""

from __future__ import annotations

from datetime import date, timedelta

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from ordering.events.log import Who
from ordering.models import Shortage, Shutdown
from ordering.publish import publish_again
from ordering.states import NotAllowed
from quotes.days import short_date
from quotes.desk.holding import hold_one
from sizing.box_length import too_long
from sizing.models import Factory, Family, Part

MOST_DAYS = 120
FURTHEST = timedelta(days=3 * 366)


@transaction.atomic
def shut(factory_pk: int, first: date, last: date, note: str) -> Shutdown:
    """Days on which the factory makes nothing, first and last included.

    Raises NotAllowed for days that end before they begin, last longer than MOST_DAYS, lie years
    away, or touch days that are written down already.
    """
    factory = hold_one(Factory.objects.filter(pk=factory_pk))
    if last < first:
        raise NotAllowed(
            f"The last day, {short_date(last)}, is before the first, {short_date(first)}; give them in order."
        )
    if (last - first).days >= MOST_DAYS:
        raise NotAllowed(
            f"{short_date(first)} to {short_date(last)} is more than {MOST_DAYS} days; check the years, or write it "
            "down in parts."
        )
    if abs(first - timezone.localdate()) > FURTHEST:
        raise NotAllowed(f"{short_date(first)} is more than three years away; check the year.")
    other = factory.shutdowns.filter(first_day__lte=last, last_day__gte=first).first()
    if other:
        raise NotAllowed(
            f"{short_date(other.first_day)} to {short_date(other.last_day)} is written down already; take it out first."
        )
    made = Shutdown.objects.create(
        factory=factory, first_day=first, last_day=last, note=_short(note)
    )
    publish_again.enqueue(factory_pk)
    return made


@transaction.atomic
def short_until(
    factory_pk: int, until: date, who: Who, family: Family | None, finish: str, reason: str
) -> Shortage:
    """Orders can't be started before `until`: of one family (None: all) and one finish (blank: all).

    Takes the place of what was said before of the same ones. Raises NotAllowed for a day that is not
    ahead or years away, and for a family or finish that this factory does not make.
    """
    factory = hold_one(Factory.objects.filter(pk=factory_pk))
    today = timezone.localdate()
    if not today < until <= today + FURTHEST:
        raise NotAllowed(
            f"{short_date(until)} is not a day of the next three years; give one that is ahead."
        )
    if family and family.factory_id != factory.pk:
        raise NotAllowed(
            f"{family.code} is not made by {factory.name}; choose one of its families."
        )
    if finish and finish not in finishes_of(factory):
        raise NotAllowed(
            f"{factory.name} has no finish “{finish[:40]}”; choose one of its finishes."
        )
    factory.shortages.filter(family=family, finish=finish).delete()
    made = Shortage.objects.create(
        factory=factory, family=family, finish=finish, until=until, reason=_short(reason),
        said_by=who.name[:150],
    )  # fmt: skip
    publish_again.enqueue(factory_pk)
    return made


def open_again(factory_pk: int, pk: int) -> bool:
    """Take out a shutdown; False: it was taken out already."""
    return _taken_out(Shutdown.objects.filter(factory=factory_pk, pk=pk), factory_pk)


def supplied_again(factory_pk: int, pk: int) -> bool:
    """Take out a shortage; False: it was taken out already."""
    return _taken_out(Shortage.objects.filter(factory=factory_pk, pk=pk), factory_pk)


@transaction.atomic
def _taken_out(meant: QuerySet, factory_pk: int) -> bool:
    gone = bool(meant.delete()[0])
    if gone:
        publish_again.enqueue(factory_pk)
    return gone


def finishes_of(factory: Factory) -> list[str]:
    """The finishes of all its tables, in order."""
    made = Part.objects.filter(revision__family__factory=factory).exclude(finish="")
    return list(made.order_by("finish").values_list("finish", flat=True).distinct())


def _short(words: str) -> str:
    """Why, in one line. Raises NotAllowed."""
    words = " ".join(words.split())
    if trouble := too_long(words, 120, "Why"):
        raise NotAllowed(trouble)
    return words
