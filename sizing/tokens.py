"""Numbers and units as tokens: the first half of what `numerals` reads a text with.

A text becomes plain letters, one kind of each mark, and those become tokens: numbers, units, what joins
them, and words that belong to a number said in words. One pass each over a short text.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from sizing.wording import gettext as _

LONGEST_TEXT = 60

_ALIKE = {
    "'": "‘’‛′‵´`ʹʼ＇",
    '"': "“”„‟″‶ʺ〃＂",
    "-": "‐‑‒–—―−﹘﹣－",
    "/": "⁄∕／",
}
_LETTER = {ord(other): plain for plain, others in _ALIKE.items() for other in others}
COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8}
COUNTS |= {"nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14}
COUNTS |= {"fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19}
TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70}
TENS |= {"eighty": 80, "ninety": 90}
PARTS = {"half": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "eighth": 8, "tenth": 10}
PARTS |= {"sixteenth": 16, "thirty-second": 32, "sixty-fourth": 64}
# As they are written in a hurry.
PARTS |= {"quater": 4, "eigth": 8, "sixteeth": 16}
MANY = {"halves": 2, "eights": 8, "eightths": 8, "forths": 4} | {
    word + "s": parts for word, parts in PARTS.items() if word != "half"
}
FILLERS = ("a", "an", "of")
_WORDS = {*PARTS, *MANY, *FILLERS, *TENS, "th", "ths", "second", "seconds"}
BEFORE_FRACTION = ("and", "&", "+", "-")
_JOINTS = (*BEFORE_FRACTION, ",")


class Unreadable(Exception):
    """Why a text says no quantity, and what to type instead (by default, the kind's example)."""

    def __init__(self, why: str, mend: str = "") -> None:
        super().__init__(why)
        self.mend = mend


class Number(NamedTuple):
    """A number as written: `whole` if it is one, `fraction` (numerator, denominator) if it ends in one,
    its `digits` if it is nothing else."""

    value: Fraction
    whole: bool = True
    fraction: tuple[int, int] | None = None
    digits: str = ""


class Token(NamedTuple):
    kind: str  # number, fraction, unit, joint, slash, word
    text: str
    number: Number = Number(Fraction(0))


def tokens_of(text: str, units: Mapping[str, str]) -> list[Token]:
    """The text's tokens; `units` are the words and marks of units, to their symbols. Raises Unreadable."""
    if len(text) > LONGEST_TEXT:
        raise Unreadable(_("is too long (at most {most} characters)").format(most=LONGEST_TEXT))
    return _tokens(_plain(text), units)


def _plain(text: str) -> str:
    """The text in plain lower-case letters: one kind of prime, dash, slash, digit and space."""
    out: list[str] = []
    before = ""
    for char in text:
        form = unicodedata.decomposition(char).rpartition("> ")[0]
        if char in "\t\n\r" or unicodedata.category(char) in ("Zs", "Cf"):
            plain = " "
        elif ord(char) in _LETTER:
            plain = _LETTER[ord(char)]
        elif form == "<fraction":
            # Apart from the digits before it: 33½ is thirty-three and a half, not 331/2.
            plain = " " + unicodedata.normalize("NFKC", char).replace("⁄", "/") + " "
        elif form in ("<super", "<sub") and char.isdigit():
            plain = ("" if form == before else " ") + unicodedata.normalize("NFKC", char)
        elif form in ("<wide", "<font"):
            plain = unicodedata.normalize("NFKC", char)
        else:
            plain = char
        if not plain.isascii() or not plain.isprintable():
            raise Unreadable(
                _("holds the character {code}, which cannot be read here").format(
                    code=f"U+{ord(char):04X}"
                )
            )
        before = form
        out.append(plain)
    return "".join(out).lower().replace("/ ", "/").replace(" /", "/").replace("''", '"')


def _tokens(plain: str, units: Mapping[str, str]) -> list[Token]:
    found: list[Token] = []
    at = 0
    while at < len(plain):
        start, char = at, plain[at]
        if char.isdigit() or (char in ".," and plain[at + 1 : at + 2].isdigit()):
            while at < len(plain) and (plain[at].isdigit() or plain[at] in ".,"):
                at += 1
            if plain[at - 1] == ",":  # it parts two quantities
                at -= 1
            found.append(Token("number", plain[start:at], _number(plain[start:at])))
        elif char.isalpha():
            while at < len(plain) and plain[at].isalpha():
                at += 1
            found.append(_word(plain[start:at], plain, units))
            if plain[at : at + 1] == ".":
                if plain[at + 1 : at + 2].isdigit():
                    raise Unreadable(
                        _(
                            "has a point after {word} that may end the word or begin a decimal"
                        ).format(word=plain[start:at]),
                        _("put a space after the point or a 0 before it"),
                    )
                at += 1
        else:
            at += 1
            if char == "-" and plain[start - 1 : at + 1] == " - ":
                found.append(Token("joint", " - "))  # between spaces it may be a minus or a range
            elif char != " ":
                found.append(_mark(char, units))
    return found


def _number(run: str) -> Number:
    """One run of digits, points and commas. A lone point is the decimal point, and so is a lone
    comma unless three digits follow it: then it may as well part the thousands."""
    signs = run.count(".") + run.count(",")
    if signs == 0:
        return Number(Fraction(int(run)), digits=run)
    last = max(run.rfind("."), run.rfind(","))
    head, tail = run[:last], run[last + 1 :]
    if signs == 1:
        if run[last] == "," and len(tail) == 3 and 1 <= len(head) <= 3 and int(head) > 0:
            raise Unreadable(
                _("can be read as {one} or {other}").format(
                    one=f"{head}{tail}", other=f"{head}.{tail}"
                ),
                _("type the one you mean, without the comma"),
            )
        if not tail:
            return Number(Fraction(int(head)), digits=head)
    else:
        # 1,234.5 and 1.234,5: the other sign parts the thousands, three digits each.
        first, *groups = head.split("," if run[last] == "." else ".")
        threes = all(len(group) == 3 and group.isdigit() for group in groups)
        if not (tail and groups and threes and first.isdigit() and len(first) <= 3):
            raise Unreadable(
                _("has too many points or commas"), _("type it with one decimal point")
            )
        head = first + "".join(groups)
    return Number(Fraction(f"{head or 0}.{tail}"), whole=False, digits=run)


def _word(word: str, plain: str, units: Mapping[str, str]) -> Token:
    if word in COUNTS:
        return Token("number", word, Number(Fraction(COUNTS[word]), digits=str(COUNTS[word])))
    if word in units:
        return Token("unit", units[word])
    if word in _JOINTS:
        return Token("joint", word)
    if word in _WORDS:
        return Token("word", word)
    if word == plain.strip():
        raise Unreadable(_("is no number"))
    raise Unreadable(_("holds “{word}”, which is no number and no unit here").format(word=word))


def _mark(char: str, units: Mapping[str, str]) -> Token:
    if char == "/":
        return Token("slash", char)
    if char in units:
        return Token("unit", units[char])
    if char in _JOINTS:
        return Token("joint", char)
    if char == ".":
        raise Unreadable(
            _("has a point with no digit beside it"), _("take it out or write the digits")
        )
    raise Unreadable(_("holds the mark {mark}, which cannot be read here").format(mark=char))
