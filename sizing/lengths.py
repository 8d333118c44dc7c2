"""Lengths as exact whole counts of 1/320 mm, so that both rulers are exact.

1 mm = 320, 1/64 in = 127, 1 in = 8128 (the inch is 25.4 mm exactly: 16 CFR 500.19).
A decimal that falls between two counts goes to the nearer one: at most 1/640 mm away.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, Decimal
from enum import Enum, StrEnum
from fractions import Fraction
from typing import NewType

from sizing.numerals import Number, Quantity, Speech, quantities

Length = NewType("Length", int)

PER_MM = 320
PER_INCH = 8128
LONGEST = Length(10_000 * PER_MM)


class Unit(StrEnum):
    INCH = "in"
    MM = "mm"


class LengthError(ValueError):
    """A text or number that is no length: one sentence, what was read and what to type."""


class Step(Enum):
    """The marks of a ruler to round to; the value is the step in 1/320 mm."""

    SIXTEENTH = 508
    THIRTY_SECOND = 254
    SIXTY_FOURTH = 127
    MM = 320
    HALF_MM = 160
    TENTH_MM = 32

    @property
    def unit(self) -> Unit:
        return Unit.INCH if self.value % 127 == 0 else Unit.MM


class Ties(StrEnum):
    """Where a length exactly between two marks goes. HALF_EVEN is the rounding method of ASTM E29.

    DOWN is no rounding to nearest: it takes the mark below, for what must fit into a space.
    A negative length is rounded as its positive twin.
    """

    HALF_EVEN = "half to even"
    HALF_UP = "half up"
    DOWN = "down"


_PER = {"ft": 12 * PER_INCH, "in": PER_INCH, "m": 1000 * PER_MM, "cm": 10 * PER_MM, "mm": PER_MM}
_NEXT = {("ft", "in"): 12, ("m", "cm"): 100, ("m", "mm"): 1000, ("cm", "mm"): 10}
_WORDS = {
    "ft": "' ft foot feet",
    "in": '" in ins inch inches',
    "m": "m metre metres meter meters",
    "cm": "cm cms centimetre centimetres centimeter centimeters",
    "mm": "mm mms millimetre millimetres millimeter millimeters",
}
_SPEECH = Speech(
    noun="length",
    example='33 5/8" or 854 mm',
    units={word: symbol for symbol, words in _WORDS.items() for word in words.split()},
    error=LengthError,
)


def parse_length(text: str, unit: Unit) -> Length:
    """The length a text says; a number without its unit is in `unit`. Raises LengthError.

    Takes feet, inches with fractions to 1/64 or decimals, and m, cm, mm. Anything that can be read
    in two ways, is not above zero or is over 10 m is refused with the readings named.
    """
    said = quantities(text, _SPEECH)
    for quantity in said:
        _check_fraction(text, quantity.number)
    counts = _sum(text, _with_units(text, said, unit))
    if counts > LONGEST:
        meant = ", with mm after it if it is in millimetres" if said[-1].unit is None else ""
        _SPEECH.refuse(text, f"is over 10 m (393 11/16 in): type a shorter length{meant}.")
    length = Length(round(counts))
    if length <= 0:
        _SPEECH.refuse(text, "is no length above zero: type what the tape shows.")
    return length


def _check_fraction(text: str, number: Number) -> None:
    if number.fraction is None:
        return
    above, below = number.fraction
    if below not in (2, 4, 8, 16, 32, 64):
        feet = f" ({above} ft {below} in is typed {above}' {below}\")" if below < 12 else ""
        _SPEECH.refuse(
            text,
            f"has {above}/{below}, and a tape has only halves, quarters, eighths, 16ths, 32nds and 64ths: "
            f"type one of those or a decimal{feet}.",
        )
    if above >= below:
        _SPEECH.refuse(
            text,
            f"has {above}/{below}, which is a whole inch or more: type it as a whole number and a fraction below one.",
        )
    if above == 0:
        _SPEECH.refuse(text, f"has {above}/{below}, which is nothing: leave it out.")


def _with_units(text: str, said: list[Quantity], unit: Unit) -> list[Quantity]:
    """The quantities with the unit each must have, or an error that names the readings."""
    found: list[Quantity] = []
    for at, quantity in enumerate(said):
        number, given, joint = quantity
        last = at == len(said) - 1
        before = found[-1].unit if found else None
        if given is None and not found and last:
            given = _bare(text, number, unit)
        elif given is None and before == "ft" and last:
            given = "in"
        elif given is None and before == "in" and last and joint == "" and _only_fraction(number):
            given = "in"  # 33" 5/8
        elif given is None:
            following = said[at + 1] if not last else quantity
            first = quantity if not last else said[at - 1]
            _doubtful(text, first, following, unit)
        if number.fraction and given not in ("ft", "in"):
            _SPEECH.refuse(
                text,
                f"has a fraction of {given}: type a decimal with {given}, or inches with an inch mark.",
            )
        found.append(Quantity(number, given, joint))
    return found


def _only_fraction(number: Number) -> bool:
    return number.fraction is not None and number.value < 1


def _bare(text: str, number: Number, unit: Unit) -> str:
    """The unit of a lone number that was given none."""
    if number.fraction is None:
        return unit.value
    above, below = number.fraction
    words = _mixed(number.value)
    if unit is Unit.MM:
        _SPEECH.refuse(
            text,
            f"can be read as {words} in or as {_decimal(number.value)} mm: type it with its unit.",
        )
    if _only_fraction(number) and math.gcd(above, below) > 1 and below < 12:
        _SPEECH.refuse(
            text,
            f'can be read as {words} in or as {above} ft {below} in: type {words}" or {above}\' {below}".',
        )
    return unit.value


def _doubtful(text: str, first: Quantity, second: Quantity, unit: Unit) -> None:
    """Refuse two numbers of which the first has no unit, naming what they may mean."""
    a, b = first.number, second.number
    if a.whole and b.whole:
        readings = [f"{a.value}' {b.value}\""] if a.value < 33 and b.value < 12 else []
        readings += [f'{a.value} {b.value}/{of}"' for of in (8, 16) if b.value < of and b.value % 2]
        readings += [f"{a.value}{b.value} {unit}"]
    elif a.whole and b.fraction and b.value < 1:
        readings = [f'{a.value} {_mixed(b.value)}"', f"{a.value} less {_mixed(b.value)}"]
    elif a.whole and b.fraction:
        readings = [f"{a.value}' {_mixed(b.value)}\"", f'{a.value}{_mixed(b.value)}"']
    else:
        readings = []
    if len(readings) < 2:
        _SPEECH.refuse(
            text, "holds more than one length: type one length, with its units, such as 2' 9 5/8\"."
        )
    *most, end = readings
    _SPEECH.refuse(text, f"can be read as {', '.join(most)} or {end}: type the one you mean.")


def _sum(text: str, said: list[Quantity]) -> Fraction:
    """All quantities together in 1/320 mm. Units fall (feet, inches), and only the last is broken."""
    total = Fraction(0)
    for at, (number, unit, _) in enumerate(said):
        total += number.value * _PER[str(unit)]
        if at == 0:
            continue
        before, above, joint = said[at - 1]
        limit = 1 if before == unit == "in" else _NEXT.get((str(above), str(unit)))
        apart = joint == " - " and above != "ft"
        if unit == above == "in" and joint == "":
            limit = 1
        if limit is None or apart:
            _SPEECH.refuse(
                text, "holds more than one length: type one length, such as 2' 9 5/8\" or 854 mm."
            )
        if not before.whole or number.value >= limit:
            _SPEECH.refuse(
                text,
                f"has {_decimal(before.value)} {above} and {_decimal(number.value)} {unit}: type whole {above} "
                f"and less than {limit} {unit} after it, or all of it in {unit}.",
            )
    return total


def from_number(value: int | float | Decimal | Fraction, unit: Unit) -> Length:
    """A number of inches or millimetres as a length, to the nearest count; it may be negative.

    Raises LengthError if the number is not finite or over 10 m either way.
    """
    try:
        length = Length(round(Fraction(value) * _PER[unit]))
    except (ValueError, OverflowError):
        raise LengthError(f"{value} is no length: give a plain number of {unit}.") from None
    if abs(length) > LONGEST:
        raise LengthError(f"{value} {unit} is over 10 m: give a shorter length.")
    return length


def to_fraction(length: Length, unit: Unit) -> Fraction:
    """The exact number of inches or millimetres."""
    return Fraction(length, _PER[unit])


def to_decimal(length: Length, unit: Unit) -> Decimal:
    """The number of inches or millimetres without needless zeros.

    Millimetres are exact; inches have six places, exact to 1/64 in, and read back as the same length.
    """
    exact = Decimal(length) / _PER[unit]
    return exact.quantize(Decimal("0.000001"), ROUND_HALF_EVEN).normalize() + Decimal(0)


def round_length(length: Length, step: Step, ties: Ties = Ties.HALF_EVEN) -> Length:
    """The length at a mark of the ruler, in one step, never through a coarser or finer one."""
    marks, rest = divmod(abs(length), step.value)
    if ties is not Ties.DOWN:
        twice = 2 * rest
        tied_up = marks % 2 == 1 if ties is Ties.HALF_EVEN else True
        marks += twice > step.value or (twice == step.value and tied_up)
    return Length(marks * step.value * (-1 if length < 0 else 1))


def format_length(
    length: Length, unit: Unit, step: Step | None = None, mark: bool = False, feet: bool = False
) -> str:
    """The length as the trade writes it: 33 5/8, 2' 9 5/8" (feet), 854.1; with in or mm after it (mark).

    Rounded to `step`, ties to even; by itself to 0.1 mm, or to 1/64 in if it lies there, else 1/32 in.
    Raises ValueError if the step is of the other ruler.
    """
    if step is None and unit is Unit.MM:
        step = Step.TENTH_MM
    elif step is None:
        step = Step.THIRTY_SECOND if length % Step.SIXTY_FOURTH.value else Step.SIXTY_FOURTH
    if step.unit is not unit:
        raise ValueError(f"{step.name} is no step of a ruler in {unit}")
    rounded = round_length(length, step)
    sign = "-" if rounded < 0 else ""
    size = Fraction(abs(rounded), _PER[unit])
    if unit is Unit.MM:
        words = _decimal(size)
    elif feet:
        whole, inches = divmod(size, 12)
        return f"{sign}{whole}' {_mixed(inches)}\"" if whole else f'{sign}{_mixed(inches)}"'
    else:
        words = _mixed(size)
    return f"{sign}{words} {unit}" if mark else f"{sign}{words}"


def format_difference(length: Length, unit: Unit) -> str:
    """How far apart two lengths are, in words and without direction: about 3/4 in, about 19 mm."""
    step = Step.SIXTEENTH if unit is Unit.INCH else Step.MM
    size = round_length(Length(abs(length)), step)
    if length == 0:
        return "no difference"
    if size == 0:
        return f"under {format_length(Length(step.value), unit, step, mark=True)}"
    return f"about {format_length(size, unit, step, mark=True)}"


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _decimal(value: Fraction) -> str:
    return f"{Decimal(value.numerator) / Decimal(value.denominator):f}"
