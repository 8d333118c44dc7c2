"""Sales tax by place, from dated rates, worked out once on the whole quote.

Rounding follows the Streamlined Sales and Use Tax Agreement, sec. 324: carry to the third decimal
and round up when it is greater than four, on the invoice, and on the sum of state and local rates.
Québec's tax office lets GST and QST be worked out in that one step, too (Revenu Québec, "Calculating the taxes").
What is taxable, and where, is a question for a tax adviser: the rates here are the desk's own data.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from quotes.allot import round_money
from quotes.days import long_date
from sizing.wording import gettext as _


@dataclass(frozen=True)
class Place:
    """Where the goods are handed over: ISO 3166 country, its state or province, and the town."""

    country: str
    region: str = ""
    town: str = ""


@dataclass(frozen=True)
class Rate:
    """One authority's rate from a date on; a rate of 0 ends it. A blank region or town means all."""

    name: str
    place: Place
    percent: Decimal
    in_force_from: date
    on_freight: bool = False


@dataclass(frozen=True)
class Exemption:
    """A customer's exemption: its number and the last day it holds (None: no end)."""

    number: str
    expires: date | None = None

    def holds(self, on: date) -> bool:
        return bool(self.number) and (self.expires is None or on <= self.expires)


@dataclass(frozen=True)
class Tax:
    """The rates that apply, their sums, and one sentence for the quote."""

    percent: Decimal
    freight_percent: Decimal
    words: str
    known: bool = True

    def on(self, goods: Decimal, freight: Decimal, currency: str) -> Decimal:
        """The tax on taxable goods and freight together, rounded once, half up."""
        exact = Fraction(goods) * Fraction(self.percent) + Fraction(freight) * Fraction(
            self.freight_percent
        )
        return round_money(exact / 100, currency)


def tax_for(
    rates: Iterable[Rate], place: Place | None, on: date, exemption: Exemption | None = None
) -> Tax:
    """The tax at a place on a day: every authority there, each with its newest rate by that day."""
    if exemption and exemption.holds(on):
        words = _("exempt, certificate {number}").format(number=exemption.number)
        if exemption.expires:
            words = _("exempt, certificate {number} (holds until {day})").format(
                number=exemption.number, day=long_date(exemption.expires)
            )
        return Tax(Decimal(0), Decimal(0), words)
    lapsed = ""
    if exemption and exemption.number and exemption.expires:
        lapsed = "; " + _("exemption {number} ended {day}").format(
            number=exemption.number, day=long_date(exemption.expires)
        )
    if place is None:
        return _unknown(_("no address to tax at") + lapsed)
    newest: dict[tuple[str, Place], Rate] = {}
    for rate in rates:
        if rate.in_force_from > on or not _covers(rate.place, place):
            continue
        key = (rate.name.casefold(), _folded(rate.place))
        if key not in newest or rate.in_force_from > newest[key].in_force_from:
            newest[key] = rate
    if not newest:
        return _unknown(
            _("no tax rate is kept for {place}").format(place=place.region or place.country)
            + lapsed
        )
    found = sorted(
        newest.values(), key=lambda rate: (rate.place.town, rate.place.region, rate.name)
    )
    named = " + ".join(f"{rate.name} {_shown(rate.percent)} %" for rate in found if rate.percent)
    return Tax(
        percent=sum((rate.percent for rate in found), Decimal(0)),
        freight_percent=sum((rate.percent for rate in found if rate.on_freight), Decimal(0)),
        words=(named or _("no tax")) + lapsed,
    )


def _unknown(why: str) -> Tax:
    return Tax(Decimal(0), Decimal(0), _("not worked out: {why}").format(why=why), known=False)


def _folded(place: Place) -> Place:
    return Place(place.country.casefold(), place.region.casefold(), place.town.casefold())


def _covers(wider: Place, place: Place) -> bool:
    wide, here = _folded(wider), _folded(place)
    return (
        wide.country == here.country
        and wide.region in ("", here.region)
        and wide.town in ("", here.town)
    )


def _shown(percent: Decimal) -> str:
    return f"{percent.normalize():f}"
