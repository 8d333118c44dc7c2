"""Writes dated prices. What counts since before today stays; newer data follows it. One transaction each.

What counts from today on can still be taken back: who sees a wrong number an hour after typing it would
otherwise quote with it until tomorrow. A quote that was issued meanwhile is frozen, as ever.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from moneyed import Money

from quotes.days import short_date
from quotes.freight import Limits
from quotes.models import FreightStep, MarginRule, QuantityBreak, TaxRate, Terms
from quotes.models.prices import Dated
from sizing.models import Family


class PriceError(ValueError):
    """Dated data that cannot be stored or taken back: one sentence."""


def _refuse_second(same: QuerySet, words: str, since: date) -> None:
    """Raises PriceError if any of `same` counts from that day; `words` say what there is."""
    if same.filter(in_force_from=since).exists():
        raise PriceError(
            f"{words} from {short_date(since)} already: take it back or choose another day."
        )


@transaction.atomic
def add_terms(terms: Terms) -> Terms:
    """Terms from a day on. Raises PriceError if that day has some of the name already."""
    same = Terms.objects.filter(name=terms.name)
    _refuse_second(same, f"{terms.name} has terms", terms.in_force_from)
    terms.save()
    return terms


@transaction.atomic
def add_margin(rule: MarginRule) -> MarginRule:
    """A margin rule from a day on. Raises PriceError for a second of one family, currency and day."""
    same = MarginRule.objects.filter(family=rule.family, currency=rule.currency)
    _refuse_second(same, f"There is a margin in {rule.currency}", rule.in_force_from)
    rule.save()
    return rule


@transaction.atomic
def add_tax_rate(rate: TaxRate) -> TaxRate:
    """One authority's rate from a day on; 0 ends it. Raises PriceError for a second of one day."""
    same = TaxRate.objects.filter(
        name__iexact=rate.name,
        country__iexact=rate.country,
        region__iexact=rate.region,
        town__iexact=rate.town,
    )
    _refuse_second(same, f"{rate.name} has a rate", rate.in_force_from)
    rate.save()
    return rate


@transaction.atomic
def add_freight_list(
    carrier: str, currency: str, since: date, steps: Sequence[tuple[Limits, Decimal]]
) -> None:
    """A carrier's whole list from a day on; it takes the place of the list before it."""
    same = FreightStep.objects.filter(carrier=carrier, price_currency=currency)
    _refuse_second(same, f"{carrier} has a list", since)
    for limits, price in steps:
        FreightStep.objects.create(
            carrier=carrier,
            in_force_from=since,
            length=limits.length,
            length_and_girth=limits.length_and_girth,
            weight=limits.weight,
            price=Money(price, currency),
        )


@transaction.atomic
def add_breaks(family: Family | None, since: date, steps: Sequence[tuple[int, Decimal]]) -> None:
    """A family's whole list of quantity breaks from a day on (no family: for all without their own)."""
    _refuse_second(QuantityBreak.objects.filter(family=family), "There are breaks", since)
    for quantity, percent in steps:
        QuantityBreak.objects.create(
            family=family, in_force_from=since, from_quantity=quantity, percent=percent
        )


@transaction.atomic
def take_back(row: Dated) -> int:
    """Remove what counts from today or later on: all lines of the row's list, as half a list would price wrongly.

    How many went. Raises PriceError for what counts since before today.
    """
    if row.in_force_from < timezone.localdate():
        raise PriceError(
            f"“{row.list_name}” has been in force since {short_date(row.in_force_from)}: add newer data instead."
        )
    return type(row).objects.filter(**row.list_key).delete()[0]
