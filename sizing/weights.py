"""Weights as exact whole counts of nanograms: 1 lb = 453 592 370 000, 1 oz = 28 349 523 125.

The pound is 0.453 592 37 kg exactly (international yard and pound agreement, 1959; from memory).
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import NewType

from sizing.numerals import Kind, Quantity, as_decimal, quantities, reading
from sizing.tokens import Unreadable
from sizing.wording import N_
from sizing.wording import gettext as _

Weight = NewType("Weight", int)

PER_KG = 1_000_000_000_000
PER_POUND = 453_592_370_000
PER_OUNCE = 28_349_523_125
HEAVIEST = Weight(500 * PER_KG)
# Nobody who steps on a scale with a sash weighs less, and no sash as much: the desk's own choice.
LIGHTEST_PERSON = Weight(30 * PER_KG)


class WeightUnit(StrEnum):
    POUND = "lb"
    KG = "kg"


class WeightError(ValueError):
    """A text or number that is no weight: one sentence, what was read and what to type."""


_PER = {"lb": PER_POUND, "oz": PER_OUNCE, "kg": PER_KG, "g": PER_KG // 1000}
_SMALLER = {"lb": ("oz", 16), "kg": ("g", 1000)}
_WORDS = {
    "lb": "# lb lbs pound pounds",
    "oz": "oz ozs ounce ounces",
    "kg": "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
    "g": "g gm gms gram grams gramme grammes",
}
_WEIGHT = Kind(
    this=N_("This weight"),
    ask=N_("type a weight such as {example}"),
    example=N_("12 lb 4 oz or 5.5 kg"),
    units={word: symbol for symbol, words in _WORDS.items() for word in words.split()},
    error=WeightError,
)


@lru_cache(maxsize=8192)
def parse_weight(text: str, unit: WeightUnit) -> Weight:
    """The weight a text says; a number without its unit is in `unit`. Raises WeightError.

    Takes pounds, pounds and ounces, kilograms and grams, with decimals or fractions; and what a scale showed
    of a person with the sash and without, as 187 - 168. What can be read in two ways is refused; so is
    what is not above zero or is over 500 kg.
    """
    with reading(text, _WEIGHT):
        said = quantities(text, _WEIGHT)
        for number, _unit, _joint in said:
            if number.fraction and not 0 < number.fraction[0] < number.fraction[1]:
                above, below = number.fraction
                raise Unreadable(
                    _("has {fraction}, which is not between 0 and 1").format(
                        fraction=f"{above}/{below}"
                    ),
                    _("type a whole number and a fraction below one, such as {example}").format(
                        example="12 1/2 lb"
                    ),
                )
        if len(said) == 1:
            number, given, _joint = said[0]
            counts = number.value * _PER[given or unit]
        elif len(said) == 2:
            counts = _without_person(said[0], said[1], unit) or _two(said[0], said[1], unit)
        else:
            raise _several()
        if counts > HEAVIEST:
            raise Unreadable(_("is over 500 kg (1102 lb)"), _("type a lighter weight"))
        weight = Weight(round(counts))
        if weight <= 0:
            raise Unreadable(_("is not above zero"), _("type what the scale shows"))
        return weight


def _without_person(first: Quantity, second: Quantity, unit: WeightUnit) -> Fraction | None:
    """The sash alone, of a scale's reading with it less that without it; None of any other two numbers."""
    (a, given, _joint), (b, other, joint) = first, second
    large = _PER[given or other or unit]
    less = b.value * large
    alike = joint.strip() == "-" and (given is None or other in (given, None))
    return (
        a.value * large - less if alike and less >= LIGHTEST_PERSON and a.value > b.value else None
    )


def _two(first: Quantity, second: Quantity, unit: WeightUnit) -> Fraction:
    """Pounds and ounces, or kilograms and grams, together in nanograms."""
    (a, given, _joint), (b, small, joint) = first, second
    large = given or unit.value
    less, more = sorted((a, b), key=lambda number: number.value)
    if small in (None, given) and less.value * _PER[large] >= LIGHTEST_PERSON:
        # Noted in the order in which they were read, or without the minus.
        raise Unreadable(
            _("holds two readings of the scale"),
            _("type {readings}").format(
                readings=f"{as_decimal(more.value)} - {as_decimal(less.value)}"
            ),
        )
    if small is None and a.whole and b.whole and joint != " - " and large in _SMALLER:
        one, other = (
            f"{a.digits} {large} {b.digits} {_SMALLER[large][0]}",
            f"{a.digits}.{b.digits} {large}",
        )
        raise Unreadable(
            _("can be read as {one} or {other}").format(one=one, other=other),
            _("type the one you mean"),
        )
    if given is None or small is None or joint == " - ":
        raise _several()
    smaller, limit = _SMALLER.get(given, ("", 0))
    if small != smaller:
        raise _several()
    if not a.whole or b.value >= limit:
        raise Unreadable(
            _("has {smaller} after {larger}").format(
                smaller=f"{as_decimal(b.value)} {small}", larger=f"{as_decimal(a.value)} {given}"
            ),
            _(
                "type whole {larger} with less than {limit} after them, or all of it in {smaller}"
            ).format(larger=given, limit=f"{limit} {small}", smaller=small),
        )
    return a.value * _PER[given] + b.value * _PER[small]


def _several() -> Unreadable:
    return Unreadable(_("holds more than one weight"), _("type one weight, such as 12 lb 4 oz"))


def from_number(value: int | float | Decimal | Fraction, unit: WeightUnit) -> Weight:
    """A number of pounds or kilograms as a weight, to the nearest nanogram; it may be negative.

    Raises WeightError if the number is not finite or over 500 kg either way.
    """
    try:
        weight = Weight(round(Fraction(value) * _PER[unit]))
    except (ValueError, OverflowError):
        raise WeightError(f"{value} is no weight: give a plain number of {unit}.") from None
    if abs(weight) > HEAVIEST:
        raise WeightError(f"{value} {unit} is over 500 kg: give a lighter weight.")
    return weight


def to_decimal(weight: Weight, unit: WeightUnit) -> Decimal:
    """The number of pounds or kilograms without needless zeros.

    Kilograms are exact; pounds have twelve places and read back as the same weight.
    """
    exact = Decimal(weight) / _PER[unit]
    return exact.quantize(Decimal("1e-12"), ROUND_HALF_EVEN).normalize() + Decimal(0)


def format_weight(weight: Weight, unit: WeightUnit, places: int = 1, mark: bool = True) -> str:
    """The weight as the desk shows it: 12.3 lb, 5.5 kg. Rounded to `places`, ties to even, zeros trimmed."""
    step = Decimal(1).scaleb(-places)
    shown = (Decimal(weight) / _PER[unit]).quantize(step, ROUND_HALF_EVEN)
    words = f"{shown.normalize() + Decimal(0):f}"  # adding nothing turns -0 into 0
    return f"{words} {unit}" if mark else words
