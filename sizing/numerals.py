"""Numbers and units as people write and say them: what lengths and weights read with.

A text becomes tokens (`tokens`), then quantities: a number, its unit if one was given, and what joined
it to the quantity before. What the quantities mean together is for `lengths` and `weights`. Nothing
here guesses: every doubt is an Unreadable.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from sizing.tokens import (
    BEFORE_FRACTION,
    COUNTS,
    FILLERS,
    LONGEST_TEXT,
    MANY,
    PARTS,
    TENS,
    Number,
    Token,
    Unreadable,
    tokens_of,
)
from sizing.wording import gettext as _

# What makes a tens the name of a part: thirty-seconds, sixty-fourths.
_PART_ENDS = {"thirty": ("second", "seconds"), "sixty": ("fourth", "fourths")}


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: "This …" and what to type, with a text that would do (all English, as
    `sizing.wording` knows them), unit words to symbols, its error."""

    this: str
    ask: str
    example: str
    units: Mapping[str, str]
    error: type[ValueError]


class Quantity(NamedTuple):
    """A number, its unit's symbol or None, and what stood before it ("", " - " or a joint)."""

    number: Number
    unit: str | None
    joint: str


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
    tokens = _with_tens(tokens_of(text, kind.units))
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


def _with_tens(tokens: list[Token]) -> list[Token]:
    """The tokens with thirty, thirty one and thirty-one made one number each."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        tens = tokens[at].text
        dash = [token.text for token in tokens[at + 1 : at + 2]] == ["-"]
        ones, *beyond = [token.text for token in tokens[at + 1 + dash : at + 5 + dash]] or [""]
        if tens not in TENS or ones in _PART_ENDS.get(tens, ()):
            out.append(tokens[at])
            at += 1
            continue
        value, more = TENS[tens], COUNTS.get(ones, 0)
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
        out.append(Token("number", tens, Number(Fraction(value), digits=str(value))))
    return out


def _many_of(words: list[str]) -> int:
    """The parts that these words begin by naming, such as 8 of eighths or 32 of thirty seconds; 0 of none."""
    first, second, *_rest = [*(word for word in words if word != "-"), "", ""]
    return MANY.get(first) or MANY.get(f"{first}-{second}", 0)


def _fractions(tokens: list[Token]) -> list[Token]:
    """The tokens with 5/8, five eighths, a half and the like made one token each."""
    out: list[Token] = []
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


def _fraction(above: Token, below: Token) -> Token:
    top, bottom = above.number, below.number
    if not (top.whole and bottom.whole):
        raise Unreadable(
            _("has {fraction}, which is no fraction").format(fraction=f"{above.text}/{below.text}"),
            _("type one fraction, such as 5/8"),
        )
    pair = (int(top.value), int(bottom.value))
    # Over nothing it has no value; whoever reads the quantity refuses the pair.
    value = Fraction(*pair) if pair[1] else Fraction(0)
    return Token("fraction", f"{pair[0]}/{pair[1]}", Number(value, False, pair))


def _named(out: list[Token], word: str, after: list[Token]) -> int:
    """Put a fraction said in words on `out`; how many tokens it took."""
    taken = 1
    if word in FILLERS and after and after[0].kind in ("word", "unit"):
        return taken
    if word in ("thirty", "sixty"):
        dash = bool(after) and after[0].text == "-"
        word = "-".join([word, *(token.text for token in after[dash : dash + 1])])
        taken += 1 + dash
    count = out[-1] if out and out[-1].kind == "number" else None
    if word in MANY:
        if len(out) > 1 and out[-1].text == "-" and out[-2].kind == "number":
            out.pop()
            count = out[-1]
        if count is None:
            raise Unreadable(
                _("does not say how many {parts}").format(parts=word),
                _("type one fraction, such as 5/8"),
            )
        out[-1] = _fraction(count, Token("number", word, Number(Fraction(MANY[word]))))
        return taken
    if word not in PARTS:
        raise Unreadable(
            _("holds “{word}” where it says no number").format(word=word),
            _("type the number in figures"),
        )
    parts = PARTS[word]
    if count and count.number.value < parts:
        if _follows_a_whole(out):
            # 27 and 3 quarter
            out[-1] = _fraction(count, Token("number", word, Number(Fraction(parts))))
            return taken
        if count.text != "one":
            whole = count.text
            raise Unreadable(
                _("can be read as {one} or {other}").format(
                    one=f"{whole}/{parts}", other=f"{whole} 1/{parts}"
                ),
                _("type the one you mean"),
            )
        out.pop()
    out.append(Token("fraction", f"1/{parts}", Number(Fraction(1, parts), False, (1, parts))))
    return taken


def _follows_a_whole(out: list[Token]) -> bool:
    """Whether the last number has another before it, which is then the whole one: 27 and 1, 27 1."""
    before = [token for token in out[:-1] if token.text not in ("and", "&")]
    return bool(before) and before[-1].kind == "number"


def _grouped(tokens: list[Token]) -> list[Quantity]:
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
        skip = at < len(tokens) and tokens[at].text in BEFORE_FRACTION
        if at + skip < len(tokens) and tokens[at + skip].kind == "fraction" and number.whole:
            part = tokens[at + skip].number
            number = Number(number.value + part.value, False, part.fraction)
            at += skip + 1
        unit = tokens[at].text if at < len(tokens) and tokens[at].kind == "unit" else None
        at += unit is not None
        found.append(Quantity(number, unit, joint))
    return found
