"""Lengths as exact whole counts of 1/320 mm, so that both rulers are exact.

1 mm = 320, 1/64 in = 127, 1 in = 8128 (the inch is 25.4 mm exactly: 16 CFR 500.19).
A decimal that falls between two counts goes to the nearer one: at most 1/640 mm away.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal
from enum import Enum, StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import NewType

from sizing.numerals import Kind, Quantity, as_decimal, as_mixed, quantities, reading
from sizing.tokens import LONGEST_TEXT, Number, Unreadable
from sizing.wording import N_
from sizing.wording import gettext as _

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
    TENTH_MM = 32


_PER = {"ft": 12 * PER_INCH, "in": PER_INCH, "m": 1000 * PER_MM, "cm": 10 * PER_MM, "mm": PER_MM}
_NAMES = {
    "ft": N_("feet"),
    "in": N_("inches"),
    "m": N_("metres"),
    "cm": N_("centimetres"),
    "mm": N_("millimetres"),
}
_NEXT = {("ft", "in"): 12, ("m", "cm"): 100, ("m", "mm"): 1000, ("cm", "mm"): 10}
_WORDS = {
    "ft": "' ft foot feet",
    "in": '" in ins inch inches',
    "m": "m metre metres meter meters",
    "cm": "cm cms centimetre centimetres centimeter centimeters",
    "mm": "mm mms millimetre millimetres millimeter millimeters",
}
_LENGTH = Kind(
    this=N_("This length"),
    ask=N_("type a length such as {example}"),
    example=N_('33 5/8" or 854 mm'),
    units={word: symbol for symbol, words in _WORDS.items() for word in words.split()},
    error=LengthError,
)
_MEANT = N_("type the one you mean")
# How far beside its mark the tape was read, by less than any reading errs: a strong 27 3/8 is 27 3/8.
_HAIR = re.compile(r"[\s,]+(?:strong|full|heavy|light|weak|shy|scant|even|exact|exactly)\.?$", re.I)


@lru_cache(maxsize=8192)
def parse_length(text: str, unit: Unit) -> Length:
    """The length a text says; a number without its unit is in `unit`. Raises LengthError.

    Takes feet, inches with decimals or fractions to 1/64, and m, cm, mm. What can be read in two
    ways is refused with its readings named; so is what is not above zero or is over 10 m.
    """
    with reading(text, _LENGTH):
        said = quantities(_on_the_mark(text), _LENGTH)
        counts = _sum(_with_units(said, unit))
        if counts > LONGEST:
            raise Unreadable(_("is over 10 m (393 11/16 in)"), _shorter(said, unit))
        length = Length(round(counts))
        if length <= 0:
            raise Unreadable(_("is not above zero"), _("type what the tape shows"))
        return length


@lru_cache(maxsize=8192)
def names_unit(text: str) -> bool:
    """Whether a text that `parse_length` can read gives a unit of its own."""
    return any(one.unit for one in quantities(_on_the_mark(text), _LENGTH))


def _on_the_mark(text: str) -> str:
    return _HAIR.sub("", text.rstrip()) if len(text) <= LONGEST_TEXT else text


def _shorter(said: list[Quantity], unit: Unit) -> str:
    value = said[0].number.value
    is_inches = (said[0].unit or unit) == Unit.INCH
    if len(said) == 1 and is_inches and perhaps_mm(value, Unit.INCH):
        return _("type a shorter length, or {mm} mm if it is millimetres").format(
            mm=as_decimal(value)
        )
    return _("type a shorter length")


def perhaps_mm(value: int | float | Decimal | Fraction, unit: Unit) -> bool:
    """Whether a number is too long to be of inches, in which it was taken, and a length in millimetres."""
    longest = Fraction(LONGEST, PER_MM)
    return unit is Unit.INCH and longest / Fraction("25.4") < abs(Fraction(value)) <= longest


def _with_units(said: list[Quantity], unit: Unit) -> list[Quantity]:
    """The quantities, each with its unit. Raises Unreadable where one may have either of two."""
    found: list[Quantity] = []
    for at, (number, given, joint) in enumerate(said):
        last = at == len(said) - 1
        before = found[-1].unit if found else None
        _check_fraction(number, bare=len(said) == 1 and given is None)
        if given is None and last and not found:
            given = _bare(number, unit)
        elif given is None and last and before == "ft":
            given = "in"
        elif given is None and last and before == "in" and joint != " - " and _below_one(number):
            inches = found.pop()  # 33" 5/8, 33 inches and 5/8
            if not inches.number.whole:
                raise _several()
            number = Number(inches.number.value + number.value, False, number.fraction)
            given, joint = "in", inches.joint
        elif given is None:
            readings = _readings(found, said[at:], unit)
            if not readings:
                raise _several()
            raise _either(", ".join(readings[:-1]), readings[-1])
        if number.fraction and given not in ("ft", "in"):
            metric = f"{as_decimal(number.value)} {given}"
            raise Unreadable(
                _("has a fraction of {unit}").format(unit=_(_NAMES[given])),
                _('type {metric}, or {inches}" if it is inches').format(
                    metric=metric, inches=as_mixed(number.value)
                ),
            )
        found.append(Quantity(number, given, joint))
    return found


def _several() -> Unreadable:
    return Unreadable(_("holds more than one length"), _("type one length, such as 2' 9 5/8\""))


def _either(one: str, other: str) -> Unreadable:
    words = _("can be read as {one} or {other}").format(one=one, other=other)
    return Unreadable(words, _(_MEANT))


def _below_one(number: Number) -> bool:
    return number.fraction is not None and number.value < 1


def _check_fraction(number: Number, bare: bool) -> None:
    """Refuse what no tape shows, and 5/0, 2/6, 2/8 or 12/8 alone: doors are called so in feet/inches."""
    if number.fraction is None:
        return
    above, below = number.fraction
    value = Fraction(above, below or 1)
    alone = bare and above and number.value in (value, 0)
    feet = f"{above}' {below}\"" if alone and above < 33 and below < 12 else ""
    if below not in (2, 4, 8, 16, 32, 64):
        raise Unreadable(
            _(
                "has {fraction}, which no tape shows (halves, quarters, 8ths, 16ths, 32nds or 64ths)"
            ).format(fraction=f"{above}/{below}"),
            _("type {length} if it is {feet} feet {inches} inches").format(
                length=feet, feet=above, inches=below
            )
            if feet
            else _("type it as a decimal"),
        )
    if feet and (value >= 1 or value.denominator < below):
        raise _either(f'{as_mixed(value)}"', feet)
    if not 0 < value < 1:
        raise Unreadable(
            _("has {fraction}, which is not between 0 and 1").format(fraction=f"{above}/{below}"),
            _("type a whole number and a fraction below one, such as {example}").format(
                example="33 5/8"
            ),
        )


def _bare(number: Number, unit: Unit) -> str:
    """The unit of a lone number that was given none."""
    if number.fraction and unit is Unit.MM:
        inches, mm = as_mixed(number.value), as_decimal(number.value)
        raise _either(f'{inches}"', f"{mm} mm")
    return unit.value


def _readings(found: list[Quantity], rest: list[Quantity], unit: Unit) -> list[str]:
    """What two numbers side by side may mean when the first of them has no unit."""
    if len(rest) != 2 or not rest[0].number.whole:
        return []
    a, b, joint = rest[0].number.digits, rest[1].number, rest[1].joint
    written = b.digits or as_mixed(b.value)
    parts = [f'{a} {b.value}/{of}"' for of in (8, 16) if b.whole and b.value % 2 and b.value < of]
    if found:
        feet = found[0]
        return [f"{feet.number.digits}' {part}" for part in parts] if feet.unit == "ft" else []
    if _below_one(b):
        readings = [f'{a} {written}"']
    else:
        readings = [f"{a}' {written}\""] if b.value < 12 and int(a) < 33 else []
    readings += parts
    if joint == " - ":
        return [*readings, _("{one} less {other}").format(one=a, other=written)]
    if not joint and (b.whole or b.value > 1 or written.startswith(".")):
        readings.append(f"{a}{written} {rest[1].unit or unit}")
    if readings and (joint or len(readings) == 1):
        readings.append(_("two lengths"))
    return readings


def _sum(said: list[Quantity]) -> Fraction:
    """All quantities together in 1/320 mm: units fall (feet, inches), and only the last is broken."""
    total = Fraction(0)
    for at, (number, unit, joint) in enumerate(said):
        total += number.value * _PER[str(unit)]
        if at == 0:
            continue
        before, above, _joint = said[at - 1]
        limit = _NEXT.get((str(above), str(unit)))
        if limit is None or (joint == " - " and above != "ft"):
            raise _several()
        if not before.whole or number.value >= limit:
            raise Unreadable(
                _("has {smaller} after {larger}").format(
                    smaller=f"{as_decimal(number.value)} {unit}",
                    larger=f"{as_decimal(before.value)} {above}",
                ),
                _(
                    "type whole {larger} with less than {limit} after them, or all of it in {smaller}"
                ).format(
                    larger=_(_NAMES[str(above)]),
                    limit=f"{limit} {unit}",
                    smaller=_(_NAMES[str(unit)]),
                ),
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
        other = f", or {value} mm if it is millimetres" if perhaps_mm(value, unit) else ""
        raise LengthError(f"{value} {unit} is over 10 m: give a shorter length{other}.")
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


def round_length(length: Length, step: Step) -> Length:
    """The length at the nearest mark of the ruler, in one step, never through a coarser or finer one.

    Half-way between two marks it goes to the even one (ASTM E29).
    """
    return Length(round(Fraction(length, step.value)) * step.value)


_MIXED = re.compile(r"(?<=\d) (?=\d+/\d|(?:in|mm|cm|lbs?|kg|oz)\b)")


def unbroken(text: str) -> str:
    """The text with a whole number, its fraction and its unit held together, by spaces that no line breaks at: half of
    20 1/4 in the next line is another size, and 13 alone is a count as well as a weight.
    """
    return _MIXED.sub("\u00a0", text)


def format_length(length: Length, unit: Unit, mark: bool = False) -> str:
    """The length as the trade writes it: 33 5/8, 854.1; with in or mm after it (mark).

    Rounded to 0.1 mm, or to 1/64 in if it lies there, else to 1/32 in; ties to even.
    """
    if unit is Unit.MM:
        step = Step.TENTH_MM
    else:
        step = Step.THIRTY_SECOND if length % Step.SIXTY_FOURTH.value else Step.SIXTY_FOURTH
    return _written(round_length(length, step), unit, mark)


def _written(length: Length, unit: Unit, mark: bool) -> str:
    size = abs(to_fraction(length, unit))
    words = as_decimal(size) if unit is Unit.MM else as_mixed(size)
    return f"{'-' if length < 0 else ''}{words}{f' {unit}' if mark else ''}"


def format_difference(length: Length, unit: Unit) -> str:
    """How far apart two lengths are, in words and without direction: about 3/4 in, about 19 mm."""
    step = Step.SIXTEENTH if unit is Unit.INCH else Step.MM
    size = round_length(Length(abs(length)), step)
    if length == 0:
        return _("no difference")
    if size == 0:
        return _("under {length}").format(length=_written(Length(step.value), unit, mark=True))
    return _("about {length}").format(length=_written(size, unit, mark=True))
