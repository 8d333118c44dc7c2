"""From lines to totals that sum exactly: breaks, terms, freight, tax, deposit.

Order of work, each step rounded once to the currency's minor unit, half up:
1. a line's gross = quantity x unit price, less its family's quantity break;
2. the terms' discount on the sum of the lines it applies to, allotted back by gross;
3. freight, then tax on the whole (see `tax`), allotted back by taxable amount;
4. the deposit, a share of the total.
Allotment is by largest remainder, ties to the first line (see `allot`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from quotes.allot import allot, round_money
from quotes.freight import Freight, Goods
from quotes.tax import Tax

_HUNDRED = Fraction(100)


class PricingError(ValueError):
    """A quote that cannot be priced: one sentence, what and how to mend it."""


@dataclass(frozen=True)
class Line:
    """One line to price. `unit_price` is for one piece or pair as sold; None: no price yet.

    A list line is a part from the table: breaks and terms apply. Others carry their own price.
    """

    key: str
    quantity: int
    unit_price: Decimal | None
    family: str = ""
    list_price: bool = True
    taxable: bool = True
    goods: Goods | None = None


@dataclass(frozen=True)
class Break:
    """From this many of a family in one quote, this much less. A blank family means each of them."""

    from_quantity: int
    percent: Decimal
    in_force_from: date
    family: str = ""


@dataclass(frozen=True)
class Terms:
    """What a customer gets: percent off list lines, percent to pay at acceptance, days to pay."""

    name: str
    discount_percent: Decimal = Decimal(0)
    deposit_percent: Decimal = Decimal(0)
    net_days: int = 0


@dataclass(frozen=True)
class PricedLine:
    """`net` = gross less discount; `total` = net plus tax. Every amount in whole minor units."""

    key: str
    quantity: int
    unit_price: Decimal
    break_percent: Decimal
    gross: Decimal
    discount: Decimal
    net: Decimal
    tax: Decimal
    total: Decimal


@dataclass(frozen=True)
class PricedQuote:
    """The lines' totals and freight with its tax sum to `total` exactly."""

    currency: str
    lines: tuple[PricedLine, ...]
    goods: Decimal
    discount: Decimal
    freight: Decimal
    freight_tax: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal
    unpriced: tuple[str, ...] = ()


def breaks_in_force(breaks: Iterable[Break], on: date) -> tuple[Break, ...]:
    """Each family's newest list of breaks on that day; a newer one replaces the whole older one."""
    known = [item for item in breaks if item.in_force_from <= on]
    newest: dict[str, date] = {}
    for item in known:
        newest[item.family] = max(newest.get(item.family, date.min), item.in_force_from)
    return tuple(item for item in known if item.in_force_from == newest[item.family])


def break_percent(breaks: Sequence[Break], family: str, quantity: int) -> Decimal:
    """The percent off for so many of a family: its own breaks if it has any, else those for all."""
    own = [item for item in breaks if item.family == family]
    usable = own or [item for item in breaks if not item.family]
    reached = [item for item in usable if item.from_quantity <= quantity]
    return max(reached, key=lambda item: item.from_quantity).percent if reached else Decimal(0)


def break_lost(
    total: Decimal, quantity: int, left: int, was: Decimal, now: Decimal, currency: str
) -> Decimal:
    """What `left` pieces of a line come to more at the break `now` than at the break `was` of which `total`,
    for all its `quantity`, was made: its terms and its tax change with it. Nothing at a break of 100 %.
    """
    if was >= _HUNDRED:
        return round_money(Decimal(0), currency)
    more = Fraction(total) / quantity * left * Fraction(was - now) / (_HUNDRED - Fraction(was))
    return round_money(more, currency)


def price_quote(
    lines: Sequence[Line],
    *,
    currency: str,
    terms: Terms,
    breaks: Sequence[Break] = (),
    freight: Freight,
    tax: Tax,
) -> PricedQuote:
    """Every line and total of a quote in one currency. Raises PricingError.

    Lines without a price are left out of the sums and named in `unpriced`; so is freight that is
    still to be asked for (key "freight").
    """
    _check(lines, terms)
    priced = [line for line in lines if line.unit_price is not None]
    off = _breaks_of(lines, priced, breaks)
    whole = [
        gross(line.quantity, line.unit_price or Decimal(0), percent, currency)
        for line, percent in zip(priced, off, strict=True)
    ]
    discounts = _discounts(priced, whole, terms, currency)
    net = [amount - less for amount, less in zip(whole, discounts, strict=True)]
    sent = round_money(freight.amount or Decimal(0), currency)
    *taxes, freight_tax = _taxes(priced, net, sent, tax, currency)
    done = tuple(
        PricedLine(
            key=line.key,
            quantity=line.quantity,
            unit_price=line.unit_price or Decimal(0),
            break_percent=off[at],
            gross=whole[at],
            discount=discounts[at],
            net=net[at],
            tax=taxes[at],
            total=net[at] + taxes[at],
        )
        for at, line in enumerate(priced)
    )
    total = sum((line.total for line in done), sent + freight_tax)
    missing = [line.key for line in lines if line.unit_price is None]
    return PricedQuote(
        currency=currency,
        lines=done,
        goods=_sum(whole, currency),
        discount=_sum(discounts, currency),
        freight=sent,
        freight_tax=freight_tax,
        tax=_sum([*taxes, freight_tax], currency),
        total=total,
        deposit=round_money(Fraction(total) * Fraction(terms.deposit_percent) / _HUNDRED, currency),
        unpriced=(*missing, *(["freight"] if freight.amount is None else [])),
    )


def _check(lines: Sequence[Line], terms: Terms) -> None:
    for line in lines:
        if line.quantity < 1:
            raise PricingError(
                f"Line {line.key} has a quantity of {line.quantity}: give 1 or more."
            )
        if line.unit_price is not None and line.unit_price < 0:
            raise PricingError(f"Line {line.key} has a price below zero: give 0 or more.")
    for what, percent in (("discount", terms.discount_percent), ("deposit", terms.deposit_percent)):
        if not 0 <= percent <= 100:
            raise PricingError(f"The {what} is {percent} %: give 0 to 100.")


def _breaks_of(
    lines: Sequence[Line], priced: Sequence[Line], breaks: Sequence[Break]
) -> list[Decimal]:
    counted = Counter[str]()
    for line in lines:
        if line.list_price:
            counted[line.family] += line.quantity
    return [
        break_percent(breaks, line.family, counted[line.family]) if line.list_price else Decimal(0)
        for line in priced
    ]


def gross(quantity: int, unit_price: Decimal, percent: Decimal, currency: str) -> Decimal:
    """Price times count, less so many percent for the quantity, in whole minor units."""
    each = Fraction(unit_price) * (1 - Fraction(percent) / _HUNDRED)
    return round_money(quantity * each, currency)


def _discounts(
    priced: Sequence[Line], gross: Sequence[Decimal], terms: Terms, currency: str
) -> tuple[Decimal, ...]:
    base = [g if line.list_price else Decimal(0) for line, g in zip(priced, gross, strict=True)]
    whole = Fraction(sum(base, Decimal(0))) * Fraction(terms.discount_percent) / _HUNDRED
    return allot(round_money(whole, currency), base, currency)


def _taxes(
    priced: Sequence[Line], net: Sequence[Decimal], freight: Decimal, tax: Tax, currency: str
) -> tuple[Decimal, ...]:
    """The tax of each line, then of the freight."""
    taxed = [n if line.taxable else Decimal(0) for line, n in zip(priced, net, strict=True)]
    whole = tax.on(sum(taxed, Decimal(0)), freight, currency)
    weights = [*(amount * tax.percent for amount in taxed), freight * tax.freight_percent]
    return allot(whole, weights, currency)


def _sum(amounts: Sequence[Decimal], currency: str) -> Decimal:
    return sum(amounts, round_money(Decimal(0), currency))
