"""Amounts in a message: lengths, weights and bare whole numbers, in digits or in words.

An amount is only found here, with its own words made plain ("17 3/8 in"); what it is worth is for
`sizing.lengths` and `sizing.weights`, which refuse what can be read in two ways.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from quotes.messages.figures import Figure, fraction_at, in_digits, number_at
from quotes.messages.scan import Token, listed
from sizing.lengths import Length, LengthError, Unit, parse_length
from sizing.weights import Weight, WeightError, WeightUnit, parse_weight

_UNITS = {
    word: unit
    for unit, words in {
        "ft": "' ft foot feet",
        "in": '" in ins inch inches inchs',
        "mm": "mm mms millimetre millimetres millimeter millimeters mil mils",
        "cm": "cm cms centimetre centimetres centimeter centimeters",
        "m": "m metre metres meter meters",
        "lb": "lb lbs pound pounds #",
        "oz": "oz ounce ounces",
        "kg": "kg kgs kilo kilos kilogram kilograms",
    }.items()
    for word in words.split()
}
WEIGHT_UNITS = ("lb", "oz", "kg")
# After a number these make "in" a place or a manner, not inches.
_AFTER_PREPOSITION = listed(
    "the my our a an this that these those all both each total stock which front back one your his her "
    "finish color colour case order mm cm inches width height kitchen bath bathroom bedroom hall"
)


@dataclass
class Amount:
    """`first` and `last` are token indexes (last exclusive); `start`, `end` offsets in the message.

    kind is length, weight or integer (bare, so it may be a count as well); `unit` is None if none
    was said. `value` counts `unit`, but of two units the smaller (in, mm, oz). `doubt` marks a hedge, a range or an alternative; `gone` one that was taken back.
    """

    kind: str
    said: str
    value: Fraction
    unit: str | None
    first: int
    last: int
    start: int
    end: int
    spelled: bool = False
    doubt: bool = False
    gone: bool = False

    @property
    def whole(self) -> int:
        return int(self.value)


def amounts(tokens: list[Token], places: frozenset[str]) -> list[Amount]:
    """All amounts in their order. `places` are words before which "in" is no unit (rooms, finishes)."""
    found: list[Amount] = []
    at = 0
    while at < len(tokens):
        amount = _amount(tokens, at, places)
        if amount is None:
            at += 1
        else:
            found.append(amount)
            at = amount.last
    return found


def length_of(amount: Amount, unit: Unit) -> Length | None:
    """What an amount says as a length, a bare one in `unit`; None if it can't be read for certain."""
    try:
        return parse_length(amount.said, unit)
    except LengthError:
        return None


def weight_of(amount: Amount, unit: WeightUnit) -> Weight | None:
    """What an amount says as a weight, a bare one in `unit`; None if it can't be read for certain."""
    try:
        return parse_weight(amount.said, unit)
    except WeightError:
        return None


def _amount(tokens: list[Token], at: int, places: frozenset[str]) -> Amount | None:
    number = number_at(tokens, at)
    if number is None:
        return None
    unit, end = _unit(tokens, number.end, places)
    said, value = number.said + (f" {unit}" if unit else ""), number.value
    if unit in ("mm", "cm", "m", "kg") and "/" in said:
        said = f"{float(value)} {unit}"  # 53 and a half cm
    below = _BELOW.get(unit or "")
    rest = below(tokens, number, end, places) if below else None
    if rest:
        said, value, end = rest.said, rest.value, rest.end
    whole = number.whole and rest is None
    kind = "weight" if unit in WEIGHT_UNITS else "length"
    if unit is None and whole:
        kind = "integer"
    return Amount(
        kind, said, value, unit, at, end, tokens[at].start, tokens[end - 1].end,
        number.spelled,
    )  # fmt: skip


def _below_feet(
    tokens: list[Token], feet: Figure, at: int, places: frozenset[str]
) -> Figure | None:
    """Feet with what follows: 3 ft 4 in, 3' 4 3/8, 3 ft 4 in and 3/8, a foot and a half."""
    skip = at < len(tokens) and tokens[at].text in ("-", ",", "and", "&")
    inches = number_at(tokens, at + skip)
    if inches and inches.value < 16:
        unit, end = _unit(tokens, inches.end, places)
        tight = tokens[at].glued or not skip
        if unit == "in" or (unit is None and tight and inches.value < 12):
            rest = _below_inches(tokens, inches, end, places) if unit and inches.whole else None
            inches = rest or inches._replace(said=f"{inches.said} in", end=end)
            said = f"{feet.said} ft {inches.said}"
            return Figure(said, feet.value * 12 + inches.value, False, feet.spelled, inches.end)
    half = fraction_at(tokens, at + 1) if feet.whole and skip and tokens[at].text == "and" else None
    if half and half.spelled and _unit(tokens, half.end, places)[0] is None:
        said = f"{feet.said} {half.said} ft"
        return Figure(said, feet.value + half.value, False, True, half.end)
    return None


def _below_pounds(
    tokens: list[Token], pounds: Figure, at: int, places: frozenset[str]
) -> Figure | None:
    skip = at < len(tokens) and tokens[at].text in ("-", ",", "and", "&")
    ounces = number_at(tokens, at + skip)
    unit, end = _unit(tokens, ounces.end, places) if ounces else (None, at)
    if ounces is None or ounces.value >= 16 or unit != "oz":
        return _and_a_half(tokens, pounds, at, places, "lb")
    value = pounds.value * 16 + ounces.value
    return Figure(f"{pounds.said} lb {ounces.said} oz", value, False, pounds.spelled, end)


def _below_inches(
    tokens: list[Token], inches: Figure, at: int, places: frozenset[str]
) -> Figure | None:
    """Whole inches with the fraction after their mark: 17 inches and 3/8, 17" 3/8"."""
    skip = at < len(tokens) and tokens[at].text in ("and", "&")
    rest = fraction_at(tokens, at + skip) if inches.whole else None
    if rest is None:
        return None
    repeated, after = _unit(tokens, rest.end, places)
    end = after if repeated == "in" else rest.end
    value = inches.value + rest.value
    return Figure(f"{inches.said} {rest.said} in", value, False, inches.spelled, end)


def _below_metres(
    tokens: list[Token], metres: Figure, at: int, places: frozenset[str]
) -> Figure | None:
    """Whole metres with what follows: 1 m 16 (two digits are cm), 1 m 16 cm, 1 m 160 mm."""
    number = in_digits(tokens[at], at) if at < len(tokens) and tokens[at].kind == "number" else None
    if number is None or not number.whole or not metres.whole:
        return None
    unit, end = _unit(tokens, number.end, places)
    long = len(tokens[at].text)
    if unit not in (None, "cm", "mm") or (unit is None and long not in (2, 3)):
        return None
    small = number.value * (10 if unit == "cm" or (unit is None and long == 2) else 1)
    value = metres.value * 1000 + small
    return Figure(f"{value} mm", value, False, False, end) if small < 1000 else None


def _and_a_half(
    tokens: list[Token], number: Figure, at: int, places: frozenset[str], unit: str
) -> Figure | None:
    """A whole number with a part of its unit after that: 51 cm and a half, 9 pounds and a quarter."""
    joined = number.whole and at < len(tokens) and tokens[at].text == "and"
    half = fraction_at(tokens, at + 1) if joined else None
    if half is None or not half.spelled or _unit(tokens, half.end, places)[0] is not None:
        return None
    value = number.value + half.value
    return Figure(f"{float(value)} {unit}", value, False, number.spelled, half.end)


_BELOW: dict[str, Callable[..., Figure | None]] = {
    "ft": _below_feet,
    "lb": _below_pounds,
    "in": _below_inches,
    "m": _below_metres,
    **{unit: partial(_and_a_half, unit=unit) for unit in ("mm", "cm", "kg")},
}


def _unit(tokens: list[Token], at: int, places: frozenset[str]) -> tuple[str | None, int]:
    if at >= len(tokens):
        return None, at
    token = tokens[at]
    follow = tokens[at + 1] if at + 1 < len(tokens) else None
    if token.text in ("'", "#") and not token.glued:
        return None, at
    if token.text == "'" and follow and follow.text == "'" and follow.glued:
        return "in", at + 2
    if token.text == "-" and follow and follow.text in ("inch", "foot") and follow.glued:
        return _UNITS[follow.text], at + 2
    placed = follow and follow.kind == "word" and follow.text in _AFTER_PREPOSITION | places
    if token.text == "in" and not token.glued and placed:
        return None, at
    if token.text == "m" and not token.glued and follow and follow.text == "'":
        return None, at
    unit = _UNITS.get(token.text)
    if unit is None:
        return None, at
    return unit, at + 1
