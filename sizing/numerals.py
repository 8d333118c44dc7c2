"""Numbers and units as people write and say them: what lengths and weights read with.

A text becomes letters of one alphabet (`plain`), then tokens, then quantities: a number, its unit if
one was given, and what joined it to the quantity before. What the quantities mean together is for
`lengths` and `weights`, and so is every doubt: nothing here guesses.
Every step is one pass over a short text.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple, NoReturn

LONGEST_TEXT = 60

_ALIKE = {
    "'": "‘’‛′‵´`ʹʼ＇",
    '"': "“”„‟″‶ʺ〃＂",
    "-": "‐‑‒–—―−﹘﹣－",
    "/": "⁄∕／",
}
_LETTER = {ord(other): plain for plain, others in _ALIKE.items() for other in others}
_COUNTS = {
    word: count
    for count, word in enumerate(
        "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen".split(),
        start=1,
    )
}
_PARTS = {"half": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "eighth": 8, "tenth": 10}
_PARTS |= {"sixteenth": 16, "thirty-second": 32, "sixty-fourth": 64}
_MANY = {"halves": 2} | {word + "s": parts for word, parts in _PARTS.items() if word != "half"}
_JOINTS = {"and": "and", "&": "and", "+": "and", "-": "-", ",": ","}


class Number(NamedTuple):
    """A number as written: `whole` if it is one, `fraction` (numerator, denominator) if it ends in one."""

    value: Fraction
    whole: bool
    fraction: tuple[int, int] | None = None


class Quantity(NamedTuple):
    """A number, its unit's symbol or None, and what stood before it ("", "-", "and", ",")."""

    number: Number
    unit: str | None
    joint: str


@dataclass(frozen=True)
class Speech:
    """What one kind of quantity is called: a noun, a text that would do, unit words to symbols."""

    noun: str
    example: str
    units: Mapping[str, str]
    error: type[ValueError]

    def refuse(self, text: str, why: str) -> NoReturn:
        """Raise this kind's error: the text as typed, then why not and what to type."""
        shown = "".join(c if c.isprintable() else " " for c in text).strip()
        shown = shown if len(shown) <= LONGEST_TEXT else shown[: LONGEST_TEXT - 1] + "…"
        raise self.error(f"“{shown}” {why}")


class _Token(NamedTuple):
    kind: str  # number, fraction, unit, joint, slash, word
    text: str
    number: Number = Number(Fraction(0), False)
    spoken: bool = False


def quantities(text: str, speech: Speech) -> list[Quantity]:
    """What a text says, in its order: at least one quantity. Raises `speech.error`."""
    if not text.strip():
        raise speech.error(f"No {speech.noun} was given: type one, such as {speech.example}.")
    if len(text) > LONGEST_TEXT:
        speech.refuse(
            text,
            f"is too long for one {speech.noun}: type at most {LONGEST_TEXT} characters, such as {speech.example}.",
        )
    tokens = _tokens(text, _plain(text, speech), speech)
    return _grouped(text, _fractions(text, tokens, speech), speech)


def _plain(text: str, speech: Speech) -> str:
    """The text in plain lower-case letters: one kind of prime, dash, slash, digit and space."""
    out: list[str] = []
    before = ""
    for char in text:
        form, _, rest = unicodedata.decomposition(char).rpartition("> ")
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
            speech.refuse(
                text,
                f"holds the character U+{ord(char):04X}, which no {speech.noun} has: type {speech.example}.",
            )
        before = form
        out.append(plain)
    return "".join(out).lower().replace("/ ", "/").replace(" /", "/").replace("''", '"')


def _tokens(text: str, plain: str, speech: Speech) -> list[_Token]:
    found: list[_Token] = []
    at = 0
    while at < len(plain):
        start, char = at, plain[at]
        if char.isdigit() or (char in ".," and plain[at + 1 : at + 2].isdigit()):
            while at < len(plain) and (plain[at].isdigit() or plain[at] in ".,"):
                at += 1
            run = plain[start:at]
            if run[-1] == ",":  # it parts two quantities
                run, at = run[:-1], at - 1
            found.append(_Token("number", run, _number(text, run, speech)))
        elif char.isalpha():
            while at < len(plain) and plain[at].isalpha():
                at += 1
            found.append(_word(text, plain[start:at], speech))
            if plain[at : at + 1] == ".":
                if plain[at + 1 : at + 2].isdigit():
                    speech.refuse(
                        text,
                        f"has a point after {plain[start:at]} that may end the word or begin a decimal: "
                        "put a space after it or a 0 before it.",
                    )
                at += 1
        else:
            at += 1
            if char == "-" and plain[start - 1 : at + 1] == " - ":
                found.append(_Token("joint", " - "))  # between spaces it may be a minus or a range
            elif char != " ":
                found.append(_mark(text, char, speech))
    return found


def _number(text: str, run: str, speech: Speech) -> Number:
    """One run of digits, points and commas. One point is the decimal point, and so is a lone comma
    unless three digits follow it, when it may as well part the thousands."""
    points, commas = run.count("."), run.count(",")
    if points + commas == 0:
        return Number(Fraction(int(run)), True)
    last = max(run.rfind("."), run.rfind(","))
    head, tail = run[:last], run[last + 1 :]
    if points + commas == 1:
        if commas and len(tail) == 3 and 1 <= len(head) <= 3 and int(head) > 0:
            speech.refuse(
                text,
                f"can be read as {head}{tail} or as {head}.{tail}: type {head}{tail} or {head}.{tail}.",
            )
        if not tail:
            return Number(Fraction(int(head)), True)
    else:
        # 1,234.5 and 1.234,5: the thousands are parted by the other sign, three digits each.
        groups = head.split("," if run[last] == "." else ".")
        if (
            not tail
            or not all(len(group) == 3 and group.isdigit() for group in groups[1:])
            or not (len(groups) > 1 and 1 <= len(groups[0]) <= 3 and groups[0].isdigit())
        ):
            speech.refuse(
                text,
                f"has too many points or commas in {run}: type it with one decimal point, such as {speech.example}.",
            )
        head = "".join(groups)
    return Number(Fraction(f"{head or 0}.{tail}"), False)


def _word(text: str, word: str, speech: Speech) -> _Token:
    if word in _COUNTS:
        return _Token("number", word, Number(Fraction(_COUNTS[word]), True), spoken=True)
    if word in speech.units:
        return _Token("unit", speech.units[word])
    if word in _JOINTS:
        return _Token("joint", _JOINTS[word])
    if word in ("a", "an", "of", "th", "ths", "thirty", "sixty", "second", "seconds"):
        return _Token("word", word)
    if word in _PARTS or word in _MANY:
        return _Token("word", word)
    speech.refuse(
        text,
        f"holds the word {word}, which is no number and no unit here: type a {speech.noun} such as {speech.example}.",
    )


def _mark(text: str, char: str, speech: Speech) -> _Token:
    if char == "/":
        return _Token("slash", char)
    if char in speech.units:
        return _Token("unit", speech.units[char])
    if char in _JOINTS:
        return _Token("joint", _JOINTS[char])
    if char == ".":
        speech.refuse(text, "has a point with no digit beside it: take it out or write the digits.")
    speech.refuse(
        text, f"holds the mark {char}, which no {speech.noun} has: type {speech.example}."
    )


def _fractions(text: str, tokens: list[_Token], speech: Speech) -> list[_Token]:
    """The tokens with 5/8, five eighths, a half and the like made one token each."""
    out: list[_Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        after = tokens[at + 1 :]
        if token.kind == "number" and after and after[0].kind == "slash":
            below = after[1] if len(after) > 1 else None
            third = len(after) > 2 and after[2].kind == "slash"
            if third or below is None or below.kind != "number":
                speech.refuse(
                    text,
                    "has a slash too many or a half-written fraction: type one fraction, such as 5/8.",
                )
            out.append(_fraction(text, token, below, speech))
            at += 3
            if at < len(tokens) and tokens[at].text in ("th", "ths"):
                at += 1
        elif token.kind == "word":
            at += _named(text, out, token, after, speech)
        elif token.kind == "slash":
            speech.refuse(
                text, "has a slash with no number before it: type a fraction, such as 5/8."
            )
        else:
            out.append(token)
            at += 1
    return out


def _fraction(text: str, above: _Token, below: _Token, speech: Speech) -> _Token:
    if not (above.number.whole and below.number.whole) or below.number.value == 0:
        # 5/0 is how some write five feet and no inches; no fraction has it.
        speech.refuse(
            text,
            f"has {above.text}/{below.text}, which is no fraction: type one such as 5/8, or a {speech.noun} such as {speech.example}.",
        )
    pair = (int(above.number.value), int(below.number.value))
    return _Token("fraction", f"{pair[0]}/{pair[1]}", Number(Fraction(*pair), False, pair))


def _named(text: str, out: list[_Token], token: _Token, after: list[_Token], speech: Speech) -> int:
    """Put a fraction said in words on `out`; how many tokens it took."""
    word, taken = token.text, 1
    if word in ("a", "an", "of") and after and after[0].kind in ("word", "unit"):
        return 1
    if word in ("thirty", "sixty"):
        dash = bool(after) and after[0].text == "-"
        word = f"{word}-{after[dash].text}" if len(after) > dash else word
        taken = 2 + dash
    if word in _MANY:
        count = out.pop() if out and out[-1].kind == "number" else None
        if count is None and len(out) > 1 and out[-1].text == "-" and out[-2].kind == "number":
            out.pop()
            count = out.pop()
        if count is None:
            speech.refuse(text, f"does not say how many {word}: type a fraction, such as 5/8.")
        out.append(_fraction(text, count, _whole(_MANY[word]), speech))
    elif word in _PARTS:
        parts = _PARTS[word]
        count = out[-1] if out and out[-1].kind == "number" else None
        if count and count.number.whole and count.number.value < parts:
            if not (count.spoken and count.number.value == 1):
                speech.refuse(
                    text,
                    f"can be read as {count.text}/{parts} or as {count.text} 1/{parts}: type the one you mean.",
                )
            out.pop()
        out.append(_fraction(text, _whole(1), _whole(parts), speech))
    else:
        speech.refuse(
            text,
            f"holds the word {word} where it means nothing: type a {speech.noun} such as {speech.example}.",
        )
    return taken


def _whole(count: int) -> _Token:
    return _Token("number", str(count), Number(Fraction(count), True))


def _grouped(text: str, tokens: list[_Token], speech: Speech) -> list[Quantity]:
    """Tokens to quantities: [joint] number [joint fraction] [unit], again and again."""
    found: list[Quantity] = []
    at = 0
    while at < len(tokens):
        joint = ""
        if tokens[at].kind == "joint":
            joint = tokens[at].text
            if not found and "-" in joint:
                speech.refuse(text, f"is negative: type a {speech.noun} above zero.")
            at += 1
        numbered = at < len(tokens) and tokens[at].kind in ("number", "fraction")
        if not numbered or (joint and not found):
            speech.refuse(
                text,
                f"has a mark or a word without its number: type a {speech.noun} such as {speech.example}.",
            )
        number = tokens[at].number
        at += 1
        skip = at < len(tokens) and tokens[at].text in ("-", "and")
        if at + skip < len(tokens) and tokens[at + skip].kind == "fraction":
            part = tokens[at + skip].number
            if number.whole:
                number = Number(number.value + part.value, False, part.fraction)
                at += skip + 1
            elif not skip or number.fraction is None:
                speech.refuse(
                    text,
                    f"has a decimal or a fraction before {tokens[at + skip].text}: type only one of the two.",
                )
        unit = None
        if at < len(tokens) and tokens[at].kind == "unit":
            unit = tokens[at].text
            at += 1
        found.append(Quantity(number, unit, joint))
    return found
