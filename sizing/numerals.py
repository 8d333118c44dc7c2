"""Numbers and units as people write and say them: what lengths and weights read with.

A text becomes plain letters, then tokens, then quantities: a number, its unit if one was given, and
what joined it to the quantity before. What the quantities mean together is for `lengths` and
`weights`. Nothing here guesses: every doubt is an Unreadable. Each step is one pass over a short text.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal
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
_COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8}
_COUNTS |= {"nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14}
_COUNTS |= {"fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19}
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70}
_TENS |= {"eighty": 80, "ninety": 90}
_PARTS = {"half": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "eighth": 8, "tenth": 10}
_PARTS |= {"sixteenth": 16, "thirty-second": 32, "sixty-fourth": 64}
_MANY = {"halves": 2} | {word + "s": parts for word, parts in _PARTS.items() if word != "half"}
_FILLERS = ("a", "an", "of")
# What makes a tens the name of a part: thirty-seconds, sixty-fourths.
_PART_ENDS = {"thirty": ("second", "seconds"), "sixty": ("fourth", "fourths")}
_WORDS = {*_PARTS, *_MANY, *_FILLERS, *_TENS, "th", "ths", "second", "seconds"}
_BEFORE_FRACTION = ("and", "&", "+", "-")
_JOINTS = (*_BEFORE_FRACTION, ",")


class Unreadable(Exception):
    """Why a text says no quantity, and what to type instead (by default, the kind's example)."""

    def __init__(self, why: str, mend: str = "") -> None:
        super().__init__(why)
        self.mend = mend


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: "This …" and what to type, with a text that would do (all English, as
    `sizing.wording` knows them), unit words to symbols, its error."""

    this: str
    ask: str
    example: str
    units: Mapping[str, str]
    error: type[ValueError]


class Number(NamedTuple):
    """A number as written: `whole` if it is one, `fraction` (numerator, denominator) if it ends in one,
    its `digits` if it is nothing else."""

    value: Fraction
    whole: bool = True
    fraction: tuple[int, int] | None = None
    digits: str = ""


class Quantity(NamedTuple):
    """A number, its unit's symbol or None, and what stood before it ("", " - " or a joint)."""

    number: Number
    unit: str | None
    joint: str


class _Token(NamedTuple):
    kind: str  # number, fraction, unit, joint, slash, word
    text: str
    number: Number = Number(Fraction(0))


@contextmanager
def reading(text: str, kind: Kind) -> Iterator[None]:
    """Turn an Unreadable into the kind's error: the text as typed, why not, what to type."""
    try:
        yield
    except Unreadable as doubt:
        shown = "".join(c if c.isprintable() else " " for c in text[:LONGEST_TEXT]).strip()
        mend = doubt.mend or _(kind.ask).format(example=_(kind.example))
        subject = f"“{shown}{'…' * (len(text) > LONGEST_TEXT)}”" if shown else _(kind.this)
        raise kind.error(f"{subject} {doubt}: {mend}.") from None


def whole_number(text: str, digits: int = 18) -> int | None:
    """The whole number that a page, an address or a file sends, in the digits 0 to 9 and at most so many of
    them (any row's key has no more than 18); None of anything else."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= digits else None


def whole_numbers(texts: Iterable[str]) -> list[int]:
    """Those of these texts that are whole numbers."""
    return [number for text in texts if (number := whole_number(text)) is not None]


def quantities(text: str, kind: Kind) -> list[Quantity]:
    """What a text says, in its order: at least one quantity. Raises Unreadable."""
    if len(text) > LONGEST_TEXT:
        raise Unreadable(_("is too long (at most {most} characters)").format(most=LONGEST_TEXT))
    tokens = _with_tens(_tokens(_plain(text), kind.units))
    if not tokens:
        raise Unreadable(_("is empty"))
    return _grouped(_fractions(tokens))


def as_decimal(value: Fraction) -> str:
    """A value in digits, exact to 28 of them: 33.625."""
    return f"{Decimal(value.numerator) / Decimal(value.denominator):f}"


def as_mixed(value: Fraction) -> str:
    """A value as a whole number and a fraction: 33 5/8."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


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


def _tokens(plain: str, units: Mapping[str, str]) -> list[_Token]:
    found: list[_Token] = []
    at = 0
    while at < len(plain):
        start, char = at, plain[at]
        if char.isdigit() or (char in ".," and plain[at + 1 : at + 2].isdigit()):
            while at < len(plain) and (plain[at].isdigit() or plain[at] in ".,"):
                at += 1
            if plain[at - 1] == ",":  # it parts two quantities
                at -= 1
            found.append(_Token("number", plain[start:at], _number(plain[start:at])))
        elif char.isalpha():
            while at < len(plain) and plain[at].isalpha():
                at += 1
            found.append(_word(plain[start:at], units))
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
                found.append(_Token("joint", " - "))  # between spaces it may be a minus or a range
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


def _word(word: str, units: Mapping[str, str]) -> _Token:
    if word in _COUNTS:
        return _Token("number", word, Number(Fraction(_COUNTS[word]), digits=str(_COUNTS[word])))
    if word in units:
        return _Token("unit", units[word])
    if word in _JOINTS:
        return _Token("joint", word)
    if word in _WORDS:
        return _Token("word", word)
    raise Unreadable(_("holds “{word}”, which is no number and no unit here").format(word=word))


def _mark(char: str, units: Mapping[str, str]) -> _Token:
    if char == "/":
        return _Token("slash", char)
    if char in units:
        return _Token("unit", units[char])
    if char in _JOINTS:
        return _Token("joint", char)
    if char == ".":
        raise Unreadable(
            _("has a point with no digit beside it"), _("take it out or write the digits")
        )
    raise Unreadable(_("holds the mark {mark}, which cannot be read here").format(mark=char))


def _with_tens(tokens: list[_Token]) -> list[_Token]:
    """The tokens with thirty, thirty one and thirty-one made one number each."""
    out: list[_Token] = []
    at = 0
    while at < len(tokens):
        tens = tokens[at].text
        dash = [token.text for token in tokens[at + 1 : at + 2]] == ["-"]
        ones, *beyond = [token.text for token in tokens[at + 1 + dash : at + 5 + dash]] or [""]
        if tens not in _TENS or ones in _PART_ENDS.get(tens, ()):
            out.append(tokens[at])
            at += 1
            continue
        value, more = _TENS[tens], _COUNTS.get(ones, 0)
        at += 1
        if 0 < more < 10:
            parts = _many_of(beyond)
            if parts:
                raise Unreadable(
                    _("can be read as {one} or {other}").format(
                        one=f"{value} {more}/{parts}", other=f"{value + more}/{parts}"
                    ),
                    _("type the one you mean"),
                )
            value += more
            at += 1 + dash
        out.append(_Token("number", tens, Number(Fraction(value), digits=str(value))))
    return out


def _many_of(words: list[str]) -> int:
    """The parts that these words begin by naming, such as 8 of eighths or 32 of thirty seconds; 0 of none."""
    first, second, *_rest = [*(word for word in words if word != "-"), "", ""]
    return _MANY.get(first) or _MANY.get(f"{first}-{second}", 0)


def _fractions(tokens: list[_Token]) -> list[_Token]:
    """The tokens with 5/8, five eighths, a half and the like made one token each."""
    out: list[_Token] = []
    at = 0
    while at < len(tokens):
        token, after = tokens[at], tokens[at + 1 : at + 5]
        kinds = [token.kind, *(other.kind for other in after)]
        if kinds[:3] == ["number", "slash", "number"] and kinds[3:4] != ["slash"]:
            out.append(_fraction(token, after[1]))
            at += 4 if len(after) > 2 and after[2].text in ("th", "ths") else 3
        elif "slash" in kinds[:2]:
            raise Unreadable(
                _("has a slash that makes no fraction"), _("type one fraction, such as 5/8")
            )
        elif token.kind == "word":
            at += _named(out, token.text, after)
        else:
            out.append(token)
            at += 1
    return out


def _fraction(above: _Token, below: _Token) -> _Token:
    top, bottom = above.number, below.number
    if not (top.whole and bottom.whole):
        raise Unreadable(
            _("has {fraction}, which is no fraction").format(fraction=f"{above.text}/{below.text}"),
            _("type one fraction, such as 5/8"),
        )
    pair = (int(top.value), int(bottom.value))
    # Over nothing it has no value; whoever reads the quantity refuses the pair.
    value = Fraction(*pair) if pair[1] else Fraction(0)
    return _Token("fraction", f"{pair[0]}/{pair[1]}", Number(value, False, pair))


def _named(out: list[_Token], word: str, after: list[_Token]) -> int:
    """Put a fraction said in words on `out`; how many tokens it took."""
    taken = 1
    if word in _FILLERS and after and after[0].kind in ("word", "unit"):
        return taken
    if word in ("thirty", "sixty"):
        dash = bool(after) and after[0].text == "-"
        word = "-".join([word, *(token.text for token in after[dash : dash + 1])])
        taken += 1 + dash
    count = out[-1] if out and out[-1].kind == "number" else None
    if word in _MANY:
        if len(out) > 1 and out[-1].text == "-" and out[-2].kind == "number":
            out.pop()
            count = out[-1]
        if count is None:
            raise Unreadable(
                _("does not say how many {parts}").format(parts=word),
                _("type one fraction, such as 5/8"),
            )
        out[-1] = _fraction(count, _Token("number", word, Number(Fraction(_MANY[word]))))
        return taken
    if word not in _PARTS:
        raise Unreadable(
            _("holds “{word}” where it says no number").format(word=word),
            _("type the number in figures"),
        )
    parts = _PARTS[word]
    if count and count.number.value < parts:
        if count.text != "one":
            whole = count.text
            raise Unreadable(
                _("can be read as {one} or {other}").format(
                    one=f"{whole}/{parts}", other=f"{whole} 1/{parts}"
                ),
                _("type the one you mean"),
            )
        out.pop()
    out.append(_Token("fraction", f"1/{parts}", Number(Fraction(1, parts), False, (1, parts))))
    return taken


def _grouped(tokens: list[_Token]) -> list[Quantity]:
    """Tokens to quantities: [joint] number [[joint] fraction] [unit], again and again."""
    found: list[Quantity] = []
    at = 0
    while at < len(tokens):
        joint = tokens[at].text if tokens[at].kind == "joint" else ""
        if joint and not found:
            words = (
                _("begins with “{mark}”, and nothing here is below zero")
                if "-" in joint
                else _("begins with “{mark}”")
            )
            raise Unreadable(words.format(mark=joint.strip()))
        at += bool(joint)
        if at == len(tokens):
            raise Unreadable(_("has no number after “{mark}”").format(mark=joint.strip()))
        if tokens[at].kind not in ("number", "fraction"):
            raise Unreadable(_("has no number before “{mark}”").format(mark=tokens[at].text))
        number = tokens[at].number
        at += 1
        skip = at < len(tokens) and tokens[at].text in _BEFORE_FRACTION
        if at + skip < len(tokens) and tokens[at + skip].kind == "fraction" and number.whole:
            part = tokens[at + skip].number
            number = Number(number.value + part.value, False, part.fraction)
            at += skip + 1
        unit = tokens[at].text if at < len(tokens) and tokens[at].kind == "unit" else None
        at += unit is not None
        found.append(Quantity(number, unit, joint))
    return found
