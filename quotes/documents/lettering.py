"""Anybody's text, made fit for a paper, a workbook or a mail: visible, harmless, in reading order."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Container, Iterable, Iterator

from sizing.lengths import unbroken

# Shown for what a font cannot draw, so that it is seen to be missing and not silently dropped.
MISSING = "□"
_RIGHT_TO_LEFT = frozenset({"R", "AL"})
_MARKS = {"′": "'", "″": '"', "⁄": "/", "−": "-", "×": "x", "…": "..."}


def clean(text: str) -> str:
    """One line without control characters, among them those that turn the reading direction."""
    spaced = re.sub(r"\s+", " ", text)
    return "".join(
        c for c in spaced if unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Co", "Cn")
    )


def quoted(rows: Iterable[str]) -> list[str]:
    """What somebody has written, row by row, as an answering mail repeats it."""
    return [f"> {clean(row)}" for row in rows]


def drawable(text: str, glyphs: Container[int]) -> str:
    """The text with only what a font of these code points can draw.

    A letter with its accent apart is joined first, a fraction in one sign is spelt out, and what the
    font still lacks becomes `MISSING` (or "?" where the font lacks even that).
    """
    missing = MISSING if ord(MISSING) in glyphs else "?"
    drawn = ""
    for char in unicodedata.normalize("NFC", clean(text)):
        if ord(char) in glyphs:
            drawn += char
            continue
        spelt = "".join(_MARKS.get(c, c) for c in unicodedata.normalize("NFKC", char))
        if unicodedata.category(char) == "No" and drawn[-1:].isdigit():
            spelt = f" {spelt}"
        spelt = _MARKS.get(char, spelt)
        drawn += spelt if all(ord(c) in glyphs for c in spelt) else missing
    return drawn


def wrap(text: str, width: float, measure: Callable[[str], float], most: int = 12) -> list[str]:
    """Lines no wider than `width`: broken at spaces, or inside a word that is too long by itself.

    A whole number and its fraction stay together. At most `most` lines; the last then ends in "...".
    `measure` gives a text's width.
    """
    text = unbroken(text)
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        together = f"{line} {word}" if line else word
        if measure(together) <= width:
            line = together
            continue
        if line:
            lines.append(line)
        while measure(word) > width and len(word) > 1:
            fits = next(
                at for at in range(len(word) - 1, 0, -1) if at == 1 or measure(word[:at]) <= width
            )
            lines.append(word[:fits])
            word = word[fits:]
        line = word
    lines.append(line)
    if len(lines) > most:
        lines = [*lines[: most - 1], lines[most - 1][:-3] + "..."]
    return [line.replace("\u00a0", " ") for line in lines]


def in_reading_order(line: str) -> str:
    """The line with each run of right-to-left letters turned, for a paper that draws left to right.

    Letters of joined scripts stay in their single forms.
    """
    return "".join(_turned(line))


def _turned(text: str) -> Iterator[str]:
    run = ""
    for char in text:
        direction = unicodedata.bidirectional(char)
        if direction in _RIGHT_TO_LEFT or (run and direction in ("WS", "NSM")):
            run += char
            continue
        yield _backwards(run)
        run = ""
        yield char
    yield _backwards(run)


def _backwards(run: str) -> str:
    core = run.rstrip()
    return core[::-1] + run[len(core) :]
