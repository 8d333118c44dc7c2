"""A message as tokens with their places in it, and the stretches that are no measures.

Every step is one pass: patterns have bounded repeats, so no text can make them run away.
"""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple


def listed(words: str) -> frozenset[str]:
    """The words of a text as a set."""
    return frozenset(words.split())


class Token(NamedTuple):
    """kind is word, number, fraction, ordinal, mark, line (a line end), gap (a blank line) or other.

    `text` is in lower case with plain marks, `start` and `end` are offsets into the message,
    `glued` says that nothing stands between it and the token before.
    """

    kind: str
    text: str
    start: int
    end: int
    glued: bool


_ALIKE = {
    "'": "‘’‛′‵´`ʹʼ＇",
    '"': "“”„‟″‶ʺ〃＂",
    "-": "‐‑‒–—―−﹘﹣－",
    "/": "⁄∕／",
    "x": "×✕✖",
    " ": "\u00a0\u2007\u2009\u202f\u3000\u200b\ufeff_\f\v",
    "\n": "\r\u2028\u2029\x85",
    "*": "•‣▪◦●∙·",
}
_PLAIN = {ord(other): plain for plain, others in _ALIKE.items() for other in others}

_TOKEN = re.compile(
    r"(?P<line>\n[\s>]{0,200})"
    r"|(?P<ordinal>\d{1,3}(?:st|nd|rd|th)\b)"
    r"|(?P<fraction>\d{1,4}/\d{1,4}(?:ths?\b|rds?\b|nds?\b)?)"
    r"|(?P<number>\d+(?:[.,]\d+)*|\.\d+)"
    r"|(?P<vulgar>[¼-¾⅐-⅞])"
    r"|(?P<dotted>(?<![^\W\d_])[^\W\d_](?:\.[^\W\d_]){1,3}(?![^\W\d_])\.?)"
    r"|(?P<word>(?:(?![¼-¾⅐-⅞])[^\W\d_])+(?:'[^\W\d_]+)?)"
    r"|(?P<pause>\.{2,9}|…)"
    r"|(?P<mark>\S)"
)
_MONTH = (
    r"(?:jan|feb|mar|apr|may|jun|jul|aug|sept?|oct|nov|dec|january|february|march|april|june|july|august|"
    r"september|october|november|december)\b\.?"
)
_STREET = (
    r"(?:st|street|ave|avenue|rd|road|dr|drive|ln|lane|blvd|boulevard|ct|court|pl|place|way|ter|"
    r"terrace|cir|circle|pkwy|parkway|hwy|highway|sq|square|trail|row|close|crescent)"
)
_NO_MEASURE = re.compile(
    r"(?P<url>(?:https?://|www\.)\S+)"
    r"|(?P<date>\b\d{1,4}(?P<sep>[/.-])\d{1,2}(?P=sep)\d{2,4}\b"
    rf"|\b{_MONTH} \d{{1,2}}(?:st|nd|rd|th)?\b(?!['\"/]| \d+/)(?:,? \d{{4}}\b)?"
    rf"|\b{_MONTH},? (?:19|20)\d\d\b"
    rf"|\b\d{{1,2}}(?:st|nd|rd|th)? (?:of )?{_MONTH}\b(?:,? \d{{4}}\b)?)"
    r"|(?P<code>(?<![-./\w])(?<!\d )(?<!\) )0\d{2,}(?:-\d{1,3})?\b(?![.,]?[ -]?\d))"
    r"|(?P<time>\b\d{1,2}:\d{2}(?::\d{2})?(?: ?[ap]\.?m\b)?|\b\d{1,2} ?[ap]\.?m\b)"
    r"|(?P<price>[$€£] ?\d[\d,.]{0,12}|\b\d[\d,.]{0,12} ?(?:dollars|usd|bucks|euros?|cents)\b)"
    r"|(?P<percent>\b\d{1,3}(?:\.\d{1,3})? ?(?:%|percent\b))"
    rf"|(?P<address>\b\d{{1,6}}[a-z]? (?:(?:[^\W\d_]['.\w]{{0,20}}|\d{{1,3}}(?:st|nd|rd|th)) ){{1,4}}{_STREET}\b)"
    r"|(?P<where>\b(?:apt|apartment|suite|ste|box|lot|bldg|building|floor(?!:)|ext|zip|route|rte|hwy|"
    r"page|model|serial|acct|account)\.? ?(?:no\.?|number|#|:)? ?#?[a-z]{0,3}-?\d[\w-]{0,15})"
    r"|(?P<terms>\b(?:net|terms)\.?:? (?:net )?\d{1,3}\b)"
    r"|(?P<number>\b(?:order|invoice|quote|ticket|ref|reference|po|job|part|item|case|claim|customer)"
    r"\.? ?(?:(?:no\.?|number|num|#|code) ?#?[a-z]{0,4}-?\d[\w-]{0,15}|:? ?#?[a-z]{0,4}-?\d{4,12}\b))"
    r"|(?P<year>\b(?:built|since|circa|year|dated|from|of|around|about)(?: in)?:? (?:1[6-9]|20)\d\d\b"
    r"(?! ?(?:mm|cm|['\"]))|\bin (?:1[6-9]|20)\d\d\b(?! ?mm)|\b(?:1[6-9]|20)\d0s\b)"
    r"|(?P<state>\b[A-Za-z]{2},? \d{5}(?:-\d{4})?\b)",
    re.IGNORECASE,
)
# 16/16/37 5/8: several sizes in a row, of which nobody says what they are.
_SERIES = re.compile(
    r"(?<![\d/.])\d{1,4}(?: \d{1,2}/\d{1,2})?(?:/\d{1,4}(?: \d{1,2}/\d{1,2})?){2,5}(?![\d/])"
)
# Words that cannot stand inside a street's name: "2 windows on Oak St" is no house number.
_NO_STREET = {
    "window", "windows", "glass", "pane", "panes", "sash", "opening", "openings", "at", "on", "in",
    "for", "from", "to", "the", "of", "need", "x", "by", "and", "liners", "sets", "pairs", "mm", "cm",
}  # fmt: skip
_UNIT_LETTERS = listed(
    "in ins inch inches ft mm cm m lb lbs kg kgs oz x w h ths th hi wd pc pcs ea off pr prs sets set pairs nos wdw wdws ish"
)
_GLUED = re.compile(r"(?<![\w./-])[A-Za-z0-9]{1,24}(?:-[A-Za-z0-9]{1,24}){0,4}(?![\w/])")
_RUNS = re.compile(r"[A-Za-z]+|\d+")


class Mask(NamedTuple):
    kind: str
    start: int
    end: int


def plain(text: str) -> str:
    """The message with marks and digits that look alike made one; every offset stays."""
    letters = text.translate(_PLAIN)
    if letters.isascii():
        return letters
    return "".join(
        str(unicodedata.digit(c)) if ord(c) > 127 and unicodedata.category(c) == "Nd" else c
        for c in letters
    )


def masks(text: str, known: frozenset[str]) -> list[Mask]:
    """Addresses, dates, times, prices, model numbers and the like in a plain text.

    `known` holds the words that may be glued to a number and still be a measure (UG17).
    """
    found = [Mask("email", *span) for span in _emails(text)]
    for match in _NO_MEASURE.finditer(text):
        kind = str(match.lastgroup if match.lastgroup != "sep" else "date")
        if kind == "address" and _NO_STREET & set(match.group().lower().split()[1:-1]):
            continue
        if kind == "where" and _labels(text, match):
            continue
        if kind == "number" and text[: match.start()].lower().endswith(("old ", "existing ")):
            continue  # the old part 1155
        if kind == "date" and _SERIES.match(text, match.start()) and not _dated(text, match):
            continue
        found.append(Mask(kind, match.start(), match.end()))
    for match in _GLUED.finditer(text):
        runs = _RUNS.findall(match.group().lower())
        words = [run for run in runs if run.isalpha()]
        if len(runs) < 2 or len(words) == len(runs):
            continue
        usual = known if runs[0].isalpha() else frozenset()
        if any(word not in usual and word not in _UNIT_LETTERS for word in words) and not re.match(
            r"\d+(?:st|nd|rd|th)$|\d+-[a-z-]+$", match.group().lower()
        ):
            found.append(Mask("model", match.start(), match.end()))
    return found


def _dated(text: str, match: re.Match[str]) -> bool:
    """Whether a date with slashes can be one, and no fraction follows it."""
    parts = [int(part) for part in match.group().split("/")]
    return min(parts[:2]) <= 12 and not re.match(r" \d{1,2}/\d", text[match.end() :][:5])


def series(text: str) -> list[Mask]:
    """Sizes parted by slashes, three or more, that are no date."""
    dates = [(m.start(), m.end()) for m in _NO_MEASURE.finditer(text)
             if m.lastgroup == "sep" and _dated(text, m) if "/" in m.group()]  # fmt: skip
    found = (Mask("series", m.start(), m.end()) for m in _SERIES.finditer(text))
    return [mask for mask in found if not any(s < mask.end and mask.start < e for s, e in dates)]


def _labels(text: str, match: re.Match[str]) -> bool:
    """Whether a flat or suite stands at the beginning of its line with a colon: it names a window."""
    before = text[max(0, match.start() - 1) : match.start()]
    return before in ("", "\n") and text[match.end() : match.end() + 2].lstrip()[:1] in (":", "-")


def _emails(text: str) -> list[tuple[int, int]]:
    """Spans of e-mail addresses, grown outwards from each @."""
    spans: list[tuple[int, int]] = []
    at = text.find("@")
    while at != -1:
        start, end = at, at + 1
        while start > max(0, at - 64) and (text[start - 1].isalnum() or text[start - 1] in ".+-%"):
            start -= 1
        while end < min(len(text), at + 200) and (text[end].isalnum() or text[end] in ".-"):
            end += 1
        while text[end - 1] in ".-":
            end -= 1
        if start < at and "." in text[at:end]:
            spans.append((start, end))
        at = text.find("@", max(at + 1, end))
    return spans


def tokens(text: str, hidden: list[Mask]) -> list[Token]:
    """The tokens of a plain text; what is masked becomes one token of kind other."""
    found: list[Token] = []
    stretches = iter(sorted(hidden, key=lambda mask: mask.start))
    mask = next(stretches, None)
    covered = end = 0
    for match in _TOKEN.finditer(text):
        start = match.start()
        while mask and mask.start <= start:
            if mask.end > covered:
                found.append(Token("other", mask.kind, mask.start, mask.end, False))
            covered = max(covered, mask.end)
            mask = next(stretches, None)
        if start < covered:
            end = match.end()
            continue
        kind, words = str(match.lastgroup), match.group().lower()
        if kind == "line":
            kind = "gap" if words.count("\n") > 1 else "line"
        elif kind in ("number", "fraction") and len(words) > 9:
            kind = "other"
        elif kind == "dotted":
            kind, words = "word", words.replace(".", "")
        elif kind == "pause":
            kind, words = "mark", "-"
        elif kind == "vulgar":
            kind, words = "fraction", unicodedata.normalize("NFKC", words).replace("⁄", "/")
        found.append(Token(kind, words, start, match.end(), bool(found) and start == end))
        end = match.end()
    return found


def blank(text: str, hidden: list[Mask], filler: str = " ") -> str:
    """The text with the masked stretches blanked out; every offset stays."""
    pieces_: list[str] = []
    at = 0
    for mask in sorted(hidden, key=lambda mask: mask.start):
        if mask.end <= at:
            continue
        start = max(at, mask.start)
        pieces_ += [
            text[at:start],
            "".join(c if c == "\n" else filler for c in text[start : mask.end]),
        ]
        at = mask.end
    return "".join([*pieces_, text[at:]])
