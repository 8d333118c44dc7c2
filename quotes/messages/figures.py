"""Numbers in a message, without their units: in digits, in words, with a fraction or as one."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from quotes.messages.scan import Token

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
_HALF_DOZEN = [
    said.split()
    for said in ("half a dozen", "half dozen", "half - dozen", "a half dozen", "a half - dozen")
]


class Figure(NamedTuple):
    """A number: made plain, its value, whether it is whole and said in words; `end` is the token after it."""

    said: str
    value: Fraction
    whole: bool
    spelled: bool
    end: int


def number_at(tokens: list[Token], at: int) -> Figure | None:
    """The number that begins at a token, with the fraction that belongs to it."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind == "fraction":
        return fraction_at(tokens, at)
    if token.kind == "number":
        return _mixed(tokens, in_digits(token, at))
    if token.kind == "word":
        spelled = _spelled(tokens, at)
        if spelled:
            return _mixed(tokens, spelled)
        if token.text in _PARTS and token.text[:4] in ("half", "quar"):
            inch = tokens[at + 1 : at + 3]
            if any(t.text == "inch" for t in inch[-1:]) or any(t.text == "inch" for t in inch[:1]):
                return fraction_at(tokens, at)
    return None


def in_digits(token: Token, at: int) -> Figure:
    """A number in digits at its token, without what may follow it."""
    text = token.text
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?", text):
        text = text.replace(",", "")
    elif text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    try:
        value = Fraction(text)
    except ValueError:
        value = Fraction(0)
    return Figure(text, value, text.isdecimal(), False, at + 1)


def _spelled(tokens: list[Token], at: int) -> Figure | None:
    """A whole number in words, to 199: seventeen, forty one, thirty-three, a hundred and two."""
    text = tokens[at].text
    if text in ("a", "one") and at + 1 < len(tokens) and tokens[at + 1].text == "dozen":
        return Figure("12", Fraction(12), True, True, at + 2)
    for said in _HALF_DOZEN:
        if [t.text for t in tokens[at : at + len(said)]] == said:
            return Figure("6", Fraction(6), True, True, at + len(said))
    if text == "a" and [t.text for t in tokens[at + 1 : at + 3]] == ["foot", "and"]:
        return Figure("1", Fraction(1), True, True, at + 1)
    if text == "dozen":
        return Figure("12", Fraction(12), True, True, at + 1)
    if text in _TENS:
        value, end = _TENS[text], at + 1
        dash = end < len(tokens) and tokens[end].text == "-"
        unit = tokens[end + dash].text if end + dash < len(tokens) else ""
        if 0 < _ONES.get(unit, 0) < 10:
            follow = tokens[end + dash + 1].text if end + dash + 1 < len(tokens) else ""
            if follow not in _PARTS or unit not in ("one", "three", "five", "seven", "nine"):
                value, end = value + _ONES[unit], end + dash + 1
        return Figure(str(value), Fraction(value), True, True, end)
    if text in _ONES:
        return Figure(str(_ONES[text]), Fraction(_ONES[text]), True, True, at + 1)
    return None


def _mixed(tokens: list[Token], number: Figure) -> Figure:
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
    rest = fraction_at(tokens, end + joined)
    if rest is None or rest.value >= 1:
        return _parts_only(tokens, number)
    if rest.value.denominator not in TAPE:
        return number
    return Figure(
        f"{number.said} {rest.said}", number.value + rest.value, False, number.spelled, rest.end
    )


def _pointed(tokens: list[Token], number: Figure) -> Figure:
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
    return Figure(said, Fraction(said), False, True, end)


def _parts_only(tokens: list[Token], number: Figure) -> Figure:
    """three eighths, seven-eighths: the number was the upper half of a fraction."""
    return fraction_at(tokens, number.end - 1) or number if number.value < 64 else number


def fraction_at(tokens: list[Token], at: int) -> Figure | None:
    """A fraction alone: 3/8, a half, three eighths, 5 sixteenths, five thirty-seconds."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind == "fraction":
        above, below = (int(part) for part in token.text.rstrip("thrdns").split("/"))
        value = Fraction(above, below) if below else Fraction(0)
        return Figure(f"{above}/{below}", value, False, False, at + 1)
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
    return Figure(f"{above}/{below}", Fraction(above, below), False, True, end + 1)
