"""Dividing an amount among lines so that the shares sum to it exactly.

Largest remainder (Hamilton's method): each share is rounded down to the currency's minor unit and
the units left over go, one each, to the lines that lost most. Tie rule: the first line wins.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

from sizing.prices import minor_units

# Wide enough that no product or sum of prices is ever rounded on the way.
_EXACT = Context(prec=60)


def round_money(amount: Decimal | Fraction, currency: str) -> Decimal:
    """The amount at the currency's minor unit; exactly half goes up (away from zero).

    For USD this is SSUTA sec. 324: carry to the third decimal, round up when it is over four.
    """
    if isinstance(amount, Fraction):
        scale = 10 ** minor_units(currency)
        units, rest = divmod(abs(amount) * scale, 1)
        whole = int(units) + (rest * 2 >= 1)
        return Decimal(whole if amount >= 0 else -whole).scaleb(-minor_units(currency))
    return amount.quantize(unit_of(currency), ROUND_HALF_UP, _EXACT)


def unit_of(currency: str) -> Decimal:
    """The smallest amount of the currency: 0.01 USD, 1 JPY, 0.001 KWD."""
    return Decimal(1).scaleb(-minor_units(currency))


def allot(total: Decimal, weights: Sequence[Decimal], currency: str) -> tuple[Decimal, ...]:
    """Shares of `total` in proportion to `weights`, in their order, summing to it exactly.

    `total` is in whole minor units and not below zero; weights are not below zero. Where every
    weight is zero the first line takes all. Raises ValueError for anything else.
    """
    unit = unit_of(currency)
    if total < 0 or any(weight < 0 for weight in weights):
        raise ValueError("only amounts and weights of zero or more can be allotted")
    if total % unit:
        raise ValueError(f"{total} is not in whole minor units of {currency}")
    if not weights:
        if total:
            raise ValueError("there is no line to allot to")
        return ()
    units = allot_units(int(total / unit), weights)
    return tuple((unit * share).quantize(unit) for share in units)


def allot_units(total: int, weights: Sequence[Decimal | int]) -> tuple[int, ...]:
    """Whole units (minor units of money, seats) in proportion to the weights, by largest remainder."""
    exact_weights = [Fraction(weight) for weight in weights]
    whole = sum(exact_weights)
    if not whole:
        return (total, *(0 for _ in weights[1:]))
    quotas = [total * weight / whole for weight in exact_weights]
    shares = [int(quota) for quota in quotas]
    # sorted() is stable, so of two equal remainders the earlier line comes first.
    by_loss = sorted(range(len(quotas)), key=lambda at: shares[at] - quotas[at])
    for at in by_loss[: total - sum(shares)]:
        shares[at] += 1
    return tuple(shares)
