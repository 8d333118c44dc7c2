"""Freight from the longest piece, the girth and the weight, against dated steps of rates.

A carrier measures a parcel by its longest side and the distance round the other two (girth = twice
the sum of the two smaller sides) and refuses what is over its limits. What no step takes goes by
truck, and its price is asked for, never guessed. Lengths in 1/320 mm, weights in nanograms.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import isqrt
from operator import itemgetter
from typing import Literal

from sizing.lengths import Length
from sizing.weights import Weight
from sizing.wording import gettext as _
from sizing.wording import ngettext


@dataclass(frozen=True)
class Parcel:
    """One parcel as a carrier measures it."""

    length: Length
    girth: Length
    weight: Weight
    pieces: int = 1

    @property
    def length_and_girth(self) -> int:
        return self.length + self.girth


@dataclass(frozen=True)
class Limits:
    """The most a carrier takes, each limit included; None: no such limit."""

    length: Length | None = None
    length_and_girth: Length | None = None
    weight: Weight | None = None

    def take(self, parcel: Parcel) -> bool:
        pairs = (
            (parcel.length, self.length),
            (parcel.length_and_girth, self.length_and_girth),
            (parcel.weight, self.weight),
        )
        return all(limit is None or value <= limit for value, limit in pairs)


@dataclass(frozen=True)
class Step:
    """One line of a rate list: what a parcel within its limits costs from a date on."""

    carrier: str
    limits: Limits
    price: Decimal
    in_force_from: date


@dataclass(frozen=True)
class Goods:
    """Pieces of one kind. None where the table does not say: then freight can only be asked for."""

    pieces: int
    length: Length
    girth: Length | None
    weight: Weight | None


@dataclass(frozen=True)
class Freight:
    """How the goods go. `amount` is None while a price must be asked for; `words` says why."""

    by: Literal["parcel", "truck", "pickup", "agreed"]
    amount: Decimal | None
    words: str
    parcels: tuple[Parcel, ...] = ()


def steps_in_force(steps: Iterable[Step], on: date) -> tuple[Step, ...]:
    """Each carrier's newest list on that day: a newer list replaces that carrier's whole older one."""
    known = [step for step in steps if step.in_force_from <= on]
    newest: dict[str, date] = {}
    for step in known:
        newest[step.carrier] = max(newest.get(step.carrier, date.min), step.in_force_from)
    return tuple(step for step in known if step.in_force_from == newest[step.carrier])


def freight_for(goods: Sequence[Goods], steps: Sequence[Step]) -> Freight:
    """The cheapest carrier that takes all pieces, its parcels filled one after another (`_pack`).

    `steps` are those in force on the day. Without a carrier that takes every piece the goods go by truck.
    """
    if not goods:
        return Freight("pickup", Decimal(0), _("nothing to send"))
    if any(item.girth is None or item.weight is None for item in goods):
        return _ask(_("the size table gives no girth or weight for a part"))
    if not steps:
        return _ask(_("no freight rates are in force"))
    offers = [
        (sum(prices, Decimal(0)), carrier, parcels)
        for carrier in sorted({step.carrier for step in steps})
        if (packed := _pack(goods, [step for step in steps if step.carrier == carrier]))
        for parcels, prices in [packed]
    ]
    if not offers:
        return _ask(_("no carrier's limits take every piece"))
    # The offers stand by carrier: the first of those that cost the same is taken.
    amount, carrier, parcels = min(offers, key=itemgetter(0))
    count = len(parcels)
    words = ngettext("{count} parcel by {carrier}", "{count} parcels by {carrier}", count)
    return Freight("parcel", amount, words.format(count=count, carrier=carrier), parcels)


def _ask(why: str) -> Freight:
    return Freight("truck", None, _("goes by truck, ask for the freight: {why}").format(why=why))


def _pack(
    goods: Sequence[Goods], steps: Sequence[Step]
) -> tuple[tuple[Parcel, ...], list[Decimal]] | None:
    """Longest piece first into the present parcel, a new one when no step takes it any more.

    As one packs by hand: whether other parcels would be fewer, or two light ones cheaper, is not searched for.
    """
    # Sorted by everything that counts, so the order of the quote's lines never changes the price.
    pieces = sorted(
        (
            (item.length, item.girth or 0, item.weight or 0)
            for item in goods
            for _piece in range(item.pieces)
        ),
        reverse=True,
    )
    sent: list[tuple[Parcel, Decimal]] = []
    widest = 0
    for length, girth, weight in pieces:
        if sent:
            widest = max(widest, girth)
            fuller = _fuller(sent[-1][0], widest, weight)
            if (price := _price(fuller, steps)) is not None:
                sent[-1] = (fuller, price)
                continue
        widest, alone = girth, Parcel(Length(length), Length(girth), Weight(weight))
        if (price := _price(alone, steps)) is None:
            return None
        sent.append((alone, price))
    return tuple(parcel for parcel, _price in sent), [price for _parcel, price in sent]


def _fuller(parcel: Parcel, widest: int, weight: int) -> Parcel:
    """The parcel with one piece more, none longer than it: side by side in a square grid, where k by
    k sections are k times as far round as the widest of them."""
    pieces = parcel.pieces + 1
    across = isqrt(pieces - 1) + 1
    return Parcel(
        length=parcel.length,
        girth=Length(across * widest),
        weight=Weight(parcel.weight + weight),
        pieces=pieces,
    )


def _price(parcel: Parcel, steps: Sequence[Step]) -> Decimal | None:
    return min((step.price for step in steps if step.limits.take(parcel)), default=None)
