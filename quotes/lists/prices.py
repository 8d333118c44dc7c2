"""Reads dated prices: what is in force on a day, as the plain data that pricing works with."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from operator import attrgetter

from django.db.models import CharField, IntegerField, Q, QuerySet

from quotes import freight, pricing, tax
from quotes.counted import weeks_in_words
from quotes.models import (
    Enquiry,
    FreightStep,
    MarginRule,
    QuantityBreak,
    Special,
    TaxRate,
    Terms,
)
from quotes.models.prices import Dated
from sizing.lengths import Length
from sizing.lookup import counting
from sizing.models import Factory, Part, PublishedWindow, Revision
from sizing.standing import Place, StandingQuestion
from sizing.weights import Weight
from sizing.wording import gettext as _
from sizing.wording import language
from sizing.workdays import Calendar, Span, calendar_of


def dated(on: date | str) -> dict[str, Sequence[Dated]]:
    """{list: its lines}, in the order of the page; with a day, those that count on it."""
    return {
        "terms": _counting(Terms.objects.all(), on),
        "breaks": _counting(QuantityBreak.objects.select_related("family"), on),
        # The steps of one list together, also where a carrier has one for each of two currencies.
        "freight": _counting(
            FreightStep.objects.order_by("carrier", "-in_force_from", "price_currency", "price"), on
        ),
        "tax": _counting(TaxRate.objects.all(), on),
        "margins": _counting(MarginRule.objects.select_related("family"), on),
    }


def _counting(rows: QuerySet, on: date | str) -> Sequence[Dated]:
    """Of each list (one name, one family, one carrier) the lines of its latest day up to `on`."""
    if not isinstance(on, date):
        return rows
    begun = [row for row in rows if row.in_force_from <= on]
    key = attrgetter(*rows.model.LIST)
    latest: dict[object, date] = {}
    for row in begun:
        latest[key(row)] = max(row.in_force_from, latest.get(key(row), row.in_force_from))
    return [row for row in begun if row.in_force_from == latest[key(row)]]


def terms_on(name: str, on: date) -> pricing.Terms:
    """The terms of that name on a day; without a name and at list price if there are none."""
    found = (
        Terms.objects.filter(name=name, in_force_from__lte=on).order_by("-in_force_from").first()
    )
    if found is None:
        return pricing.Terms("")
    return pricing.Terms(found.name, found.discount_percent, found.deposit_percent, found.net_days)


def breaks_on(on: date) -> tuple[pricing.Break, ...]:
    rows = QuantityBreak.objects.filter(in_force_from__lte=on).select_related("family")
    return pricing.breaks_in_force(
        (
            pricing.Break(
                row.from_quantity,
                row.percent,
                row.in_force_from,
                row.family.code if row.family else "",
            )
            for row in rows
        ),
        on,
    )


def steps_on(currency: str, on: date) -> tuple[freight.Step, ...]:
    """Freight in that currency; rates in another are not converted."""
    rows = FreightStep.objects.filter(price_currency=currency, in_force_from__lte=on)
    return freight.steps_in_force(
        (
            freight.Step(
                row.carrier,
                freight.Limits(
                    None if row.length is None else Length(row.length),
                    None if row.length_and_girth is None else Length(row.length_and_girth),
                    None if row.weight is None else Weight(row.weight),
                ),
                row.price.amount,
                row.in_force_from,
            )
            for row in rows
        ),
        on,
    )


def tax_on(place: tax.Place | None, on: date, exemption: tax.Exemption | None) -> tax.Tax:
    country = place.country if place else ""
    rates = [
        tax.Rate(
            row.name,
            tax.Place(row.country, row.region, row.town),
            row.percent,
            row.in_force_from,
            row.on_freight,
        )
        for row in TaxRate.objects.filter(country__iexact=country, in_force_from__lte=on)
    ]
    return tax.tax_for(rates, place, on, exemption)


def part_in_force(part: Part, on: date) -> Part | None:
    """The part of the same number in its family's table in force on a day; None if it is gone."""
    return parts_in_force([part], on).get(part.pk)


def parts_in_force(parts: Sequence[Part], on: date) -> dict[int, Part]:
    """{part's key: the part of the same number in its family's table in force on a day}; without what is gone."""
    tables = Revision.objects.filter(
        counting(on), family__in={part.revision.family_id for part in parts}
    )
    # Of each family the last one stays.
    in_order = tables.order_by("in_force_from", "number").values_list("family", "pk")
    now: dict[int, int] = dict(in_order)
    elsewhere = [part for part in parts if now.get(part.revision.family_id) != part.revision_id]
    found = {
        (part.revision.family_id, part.part_number): part
        for part in Part.objects.select_related("revision__family", "row")
        .filter(revision__in=now.values(), part_number__in={part.part_number for part in elsewhere})
        .order_by("-pk")
    }
    same = {part.pk: part for part in parts if now.get(part.revision.family_id) == part.revision_id}
    moved = {part.pk: found.get((part.revision.family_id, part.part_number)) for part in elsewhere}
    return same | {pk: part for pk, part in moved.items() if part}


_PUBLISHED = StandingQuestion(
    PublishedWindow.objects.filter(
        Q(part_number="") | Q(part_number=Place("part", CharField())),
        family=Place("family", IntegerField()),
    ).order_by("-part_number")[:1]
)


def _published(revision: Revision, part_number: str) -> PublishedWindow | None:
    found = _PUBLISHED(family=revision.family_id, part=part_number)
    return next(iter(found), None)


def leaves_between(revision: Revision, part_number: str, on: date) -> tuple[date, date]:
    """The first and the last day on which the part leaves its factory if it is ordered on a day."""
    found = _published(revision, part_number)
    calendar = _days_it_ships(revision.factory)
    if found:
        low, high = found.earliest_days, found.latest_days
    else:
        weeks = revision.lead_weeks_min, revision.lead_weeks_max
        low, high = (calendar.workdays_in_weeks(on, count) for count in weeks)
    return calendar.add_workdays(on, low), calendar.add_workdays(on, high)


def _days_it_ships(factory: Factory) -> Calendar:
    """Its working days as its shipments have them: what a window published of it is counted by."""
    return calendar_of(factory.country, factory.region, _shut(factory), *factory.published_week)


def days_it_answers(factory: Factory) -> Calendar:
    """The working days of its office: who ships on a Saturday need not read letters then."""
    return calendar_of(factory.country, factory.region, _shut(factory))


def _shut(factory: Factory) -> tuple[Span, ...]:
    return tuple(factory.published_shutdowns.values_list("first_day", "last_day"))


def answered_alone(request_pk: int | None) -> dict[tuple[int, str], Enquiry]:
    """{(family's key, part number): the factory's latest answer to its lead time alone}, of a request.

    By the number: the part of a later revision is the one that was asked about.
    """
    answers = Enquiry.objects.filter(
        special__request=request_pk, special__state=Special.State.TOLD, weeks_max__isnull=False
    )
    found = answers.select_related("special__part").order_by("pk") if request_pk else ()
    return {(one.special.family_id, one.special.part.part_number): one for one in found}


def weeks_answered(enquiry: Enquiry) -> str:
    """5 to 6 working weeks, as the factory answered; empty where it named none."""
    weeks = enquiry.lead_words
    return _("{weeks}, as the factory answered").format(weeks=weeks) if weeks else ""


def _inside(sentence: str) -> str:
    """A sentence as it reads in brackets inside another."""
    return sentence[:1].lower() + sentence[1:]


def lead_time(revision: Revision, part_number: str = "") -> str:
    """The window published for the part or its family, with its basis; else what the factory declares."""
    found = _published(revision, part_number)
    if found:
        return _("{earliest} to {latest} working days, most likely {likely} ({basis})").format(
            earliest=found.earliest_days, latest=found.latest_days, likely=found.likely_days,
            basis=_inside(found.basis_in(language())),
        )  # fmt: skip
    low, high = revision.lead_weeks_min, revision.lead_weeks_max
    return _("{weeks}, as the factory says").format(weeks=weeks_in_words(low, high))
