"""Amounts in a message: lengths, weights and bare whole numbers, in digits or in words.

An amount is only found here, with its own words made plain ("17 3/8 in"); what it is worth is for
`sizing.lengths` and `sizing.weights`, which refuse what can be read in two ways.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from typing import NamedTuple

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
_ONES = dict(zip(
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"], range(20), strict=True,
))  # fmt: skip
_TENS = dict(zip(
    ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], range(20, 100, 10), strict=True,
))  # fmt: skip
_TENS["fourty"] = 40
_PARTS = {"half": 2, "halves": 2, "quarter": 4, "fourth": 4, "eighth": 8, "eigth": 8, "quater": 4, "sixteenth": 16,
          "thirtysecond": 32, "sixtyfourth": 64, "third": 3, "8th": 8, "16th": 16, "32nd": 32, "4th": 4}  # fmt: skip
_PARTS |= {word + "s": parts for word, parts in list(_PARTS.items()) if word != "halves"}
_PARTS["eights"] = 8
# A tape is divided into so many parts of an inch.
TAPE = {2, 4, 8, 16, 32, 64}
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


class _Number(NamedTuple):
    said: str
    value: Fraction
    whole: bool
    spelled: bool
    end: int


_HALF_DOZEN = [
    said.split()
    for said in ("half a dozen", "half dozen", "half - dozen", "a half dozen", "a half - dozen")
]


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
    number = _number(tokens, at)
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
    tokens: list[Token], feet: _Number, at: int, places: frozenset[str]
) -> _Number | None:
    """Feet with what follows: 3 ft 4 in, 3' 4 3/8, 3 ft 4 in and 3/8, a foot and a half."""
    skip = at < len(tokens) and tokens[at].text in ("-", ",", "and", "&")
    inches = _number(tokens, at + skip)
    if inches and inches.value < 16:
        unit, end = _unit(tokens, inches.end, places)
        tight = tokens[at].glued or not skip
        if unit == "in" or (unit is None and tight and inches.value < 12):
            rest = _below_inches(tokens, inches, end, places) if unit and inches.whole else None
            inches = rest or inches._replace(said=f"{inches.said} in", end=end)
            said = f"{feet.said} ft {inches.said}"
            return _Number(said, feet.value * 12 + inches.value, False, feet.spelled, inches.end)
    half = _fraction(tokens, at + 1) if feet.whole and skip and tokens[at].text == "and" else None
    if half and half.spelled and _unit(tokens, half.end, places)[0] is None:
        said = f"{feet.said} {half.said} ft"
        return _Number(said, feet.value + half.value, False, True, half.end)
    return None


def _below_pounds(
    tokens: list[Token], pounds: _Number, at: int, places: frozenset[str]
) -> _Number | None:
    skip = at < len(tokens) and tokens[at].text in ("-", ",", "and", "&")
    ounces = _number(tokens, at + skip)
    unit, end = _unit(tokens, ounces.end, places) if ounces else (None, at)
    if ounces is None or ounces.value >= 16 or unit != "oz":
        return _and_a_half(tokens, pounds, at, places, "lb")
    value = pounds.value * 16 + ounces.value
    return _Number(f"{pounds.said} lb {ounces.said} oz", value, False, pounds.spelled, end)


def _below_inches(
    tokens: list[Token], inches: _Number, at: int, places: frozenset[str]
) -> _Number | None:
    """Whole inches with the fraction after their mark: 17 inches and 3/8, 17" 3/8"."""
    skip = at < len(tokens) and tokens[at].text in ("and", "&")
    rest = _fraction(tokens, at + skip) if inches.whole else None
    if rest is None:
        return None
    repeated, after = _unit(tokens, rest.end, places)
    end = after if repeated == "in" else rest.end
    value = inches.value + rest.value
    return _Number(f"{inches.said} {rest.said} in", value, False, inches.spelled, end)


def _below_metres(
    tokens: list[Token], metres: _Number, at: int, places: frozenset[str]
) -> _Number | None:
    """Whole metres with what follows: 1 m 16 (two digits are cm), 1 m 16 cm, 1 m 160 mm."""
    number = _digits(tokens[at], at) if at < len(tokens) and tokens[at].kind == "number" else None
    if number is None or not number.whole or not metres.whole:
        return None
    unit, end = _unit(tokens, number.end, places)
    digits = len(tokens[at].text)
    if unit not in (None, "cm", "mm") or (unit is None and digits not in (2, 3)):
        return None
    small = number.value * (10 if unit == "cm" or (unit is None and digits == 2) else 1)
    value = metres.value * 1000 + small
    return _Number(f"{value} mm", value, False, False, end) if small < 1000 else None


def _and_a_half(
    tokens: list[Token], number: _Number, at: int, places: frozenset[str], unit: str
) -> _Number | None:
    """A whole number with a part of its unit after that: 51 cm and a half, 9 pounds and a quarter."""
    joined = number.whole and at < len(tokens) and tokens[at].text == "and"
    half = _fraction(tokens, at + 1) if joined else None
    if half is None or not half.spelled or _unit(tokens, half.end, places)[0] is not None:
        return None
    value = number.value + half.value
    return _Number(f"{float(value)} {unit}", value, False, number.spelled, half.end)


_BELOW: dict[str, Callable[..., _Number | None]] = {
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


def _number(tokens: list[Token], at: int) -> _Number | None:
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind == "fraction":
        return _fraction(tokens, at)
    if token.kind == "number":
        return _mixed(tokens, _digits(token, at))
    if token.kind == "word":
        spelled = _spelled(tokens, at)
        if spelled:
            return _mixed(tokens, spelled)
        if token.text in _PARTS and token.text[:4] in ("half", "quar"):
            inch = tokens[at + 1 : at + 3]
            if any(t.text == "inch" for t in inch[-1:]) or any(t.text == "inch" for t in inch[:1]):
                return _fraction(tokens, at)
    return None


def _digits(token: Token, at: int) -> _Number:
    text = token.text
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?", text):
        text = text.replace(",", "")
    elif text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    try:
        value = Fraction(text)
    except ValueError:
        value = Fraction(0)
    return _Number(text, value, text.isdecimal(), False, at + 1)


def _spelled(tokens: list[Token], at: int) -> _Number | None:
    """A whole number in words, to 199: seventeen, forty one, thirty-three, a hundred and two."""
    text = tokens[at].text
    if text in ("a", "one") and at + 1 < len(tokens) and tokens[at + 1].text == "dozen":
        return _Number("12", Fraction(12), True, True, at + 2)
    for said in _HALF_DOZEN:
        if [t.text for t in tokens[at : at + len(said)]] == said:
            return _Number("6", Fraction(6), True, True, at + len(said))
    if text == "a" and [t.text for t in tokens[at + 1 : at + 3]] == ["foot", "and"]:
        return _Number("1", Fraction(1), True, True, at + 1)
    if text == "dozen":
        return _Number("12", Fraction(12), True, True, at + 1)
    if text in _TENS:
        value, end = _TENS[text], at + 1
        dash = end < len(tokens) and tokens[end].text == "-"
        unit = tokens[end + dash].text if end + dash < len(tokens) else ""
        if 0 < _ONES.get(unit, 0) < 10:
            follow = tokens[end + dash + 1].text if end + dash + 1 < len(tokens) else ""
            if follow not in _PARTS or unit not in ("one", "three", "five", "seven", "nine"):
                value, end = value + _ONES[unit], end + dash + 1
        return _Number(str(value), Fraction(value), True, True, end)
    if text in _ONES:
        return _Number(str(_ONES[text]), Fraction(_ONES[text]), True, True, at + 1)
    return None


def _mixed(tokens: list[Token], number: _Number) -> _Number:
    """The number with the fraction that follows it: 17-3/8, 17 and a half, 17 three eighths."""
    if not number.whole or number.end >= len(tokens):
        return number
    end = number.end
    token = tokens[end]
    if token.text == "point":
        return _pointed(tokens, number)
    if token.kind == "word" and token.text in _PARTS and not number.spelled:
        return number  # 3 quarters: a fraction on its own, see below
    joined = token.text in ("and", "&", "+") or (
        token.text == "-" and token.glued and end + 1 < len(tokens) and tokens[end + 1].glued
    )
    rest = _fraction(tokens, end + joined)
    if rest is None or rest.value >= 1:
        return _parts_only(tokens, number)
    if rest.value.denominator not in TAPE:
        return number
    return _Number(
        f"{number.said} {rest.said}", number.value + rest.value, False, number.spelled, rest.end
    )


def _pointed(tokens: list[Token], number: _Number) -> _Number:
    """forty point five, 17 point three seven five."""
    digits = ""
    end = number.end + 1
    while end < len(tokens) and len(digits) < 4:
        text = tokens[end].text
        digit = str(_ONES[text]) if text in _ONES else text
        if (
            not digit.isdecimal()
            or not digit.isascii()
            or len(digit) > 3
            or (digits and len(digit) > 1)
        ):
            break
        digits += digit
        end += 1
    if not digits:
        return number
    said = f"{number.said}.{digits}"
    return _Number(said, Fraction(said), False, True, end)


def _parts_only(tokens: list[Token], number: _Number) -> _Number:
    """three eighths, seven-eighths: the number was the upper half of a fraction."""
    return _fraction(tokens, number.end - 1) or number if number.value < 64 else number


def _fraction(tokens: list[Token], at: int) -> _Number | None:
    """A fraction alone: 3/8, a half, three eighths, 5 sixteenths, five thirty-seconds."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind == "fraction":
        above, below = (int(part) for part in token.text.rstrip("thrdns").split("/"))
        value = Fraction(above, below) if below else Fraction(0)
        return _Number(f"{above}/{below}", value, False, False, at + 1)
    above, end = 1, at
    if token.text in ("a", "an"):
        end += 1
    elif token.text in _ONES or (token.kind == "number" and token.text.isdecimal()):
        above = _ONES.get(token.text) or int(token.text)
        end += 1
        if end < len(tokens) and tokens[end].text == "-":
            end += 1
    if end >= len(tokens):
        return None
    below = _PARTS.get(tokens[end].text, 0)
    if not below and tokens[end].text in ("thirty", "sixty"):
        dash = end + 1 < len(tokens) and tokens[end + 1].text == "-"
        name = tokens[end].text + (
            tokens[end + 1 + dash].text if end + 1 + dash < len(tokens) else ""
        )
        below = _PARTS.get(name, 0)
        end += 1 + dash if below else 0
    if not below or above <= 0 or above >= below:
        return None
    return _Number(f"{above}/{below}", Fraction(above, below), False, True, end + 1)
