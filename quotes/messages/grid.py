"""Tables inside a message: a line of headings and lines of sizes below it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from quotes.messages.amounts import Amount, amounts
from quotes.messages.mentions import mentions
from quotes.messages.scan import tokens
from quotes.messages.words import Mention, Vocabulary

_RULE = re.compile(r"[\s|:+=-]{0,200}$")
_COUNT = {
    "qty",
    "quantity",
    "count",
    "qnty",
    "pcs",
    "pieces",
    "number",
    "units",
    "how",
    "sets",
    "no",
    "windows",
}
_FINISH = {"finish", "color", "colour", "finishes"}


@dataclass
class Cell:
    """One cell's text with its place in the message."""

    text: str
    start: int


@dataclass
class Heading:
    """kind is measure, quantity, finish or other."""

    kind: str
    mention: Mention | None = None
    title: str = ""


@dataclass
class Row:
    """One line under the headings: each cell with its heading."""

    cells: list[tuple[Heading, Cell]] = field(default_factory=list)


@dataclass
class Grid:
    """A table's rows, and where it stands in the message."""

    rows: list[Row]
    start: int
    end: int


def grids(text: str, words: Vocabulary) -> list[Grid]:
    """All tables of a plain text: headings that name at least two measures, with rows of as many cells."""
    lines = _lines(text)
    found: list[Grid] = []
    at = 0
    while at < len(lines):
        grid, used = _grid(lines, at, words)
        if grid:
            found.append(grid)
        at += used
    return found


def _lines(text: str) -> list[Cell]:
    lines, start = [], 0
    for line in text.split("\n"):
        lines.append(Cell(line, start))
        start += len(line) + 1
    return lines


def _grid(lines: list[Cell], at: int, words: Vocabulary) -> tuple[Grid | None, int]:
    head = lines[at]
    if any(c.isdecimal() for c in head.text) or len(head.text) > 300:
        return None, 1
    if any(amount.value > 1 for amount in amounts(tokens(head.text.lower(), []), frozenset())):
        return None, 1  # sizes in words
    for cutter in (_cells, _by_size):
        known = (
            [_heading(cell, words) for cell in _cells(head)]
            if cutter is _cells
            else _headings(head, words)
        )
        if sum(h.kind == "measure" for h in known) < 2:
            continue
        rows: list[Row] = []
        end, here = head.start + len(head.text), at + 1
        while here < len(lines):
            line = lines[here]
            if rows == [] and (line.text.strip() == "" or _RULE.match(line.text)):
                here += 1
                continue
            cells = cutter(line, known)
            if cells is None or len(cells) < 2 or len(cells) > len(known):
                break
            if not any(c.isdecimal() for c in line.text):
                break
            rows.append(Row(list(zip(known, cells, strict=False))))
            end = line.start + len(line.text)
            here += 1
        if rows:
            return Grid(rows, head.start, end), here - at
    return None, 1


def _cells(line: Cell, known: list[Heading] | None = None) -> list[Cell]:
    """A line cut at its strongest mark: tabs, bars, semicolons, commas, or wide gaps."""
    for mark in ("\t", "|", ";", ",", "  "):
        if mark in line.text.strip("| \t" if mark == "|" else " "):
            break
    else:
        return [line]
    cells: list[Cell] = []
    pattern = re.compile(r" {2,}" if mark == "  " else re.escape(mark))
    start = 0
    for match in [*pattern.finditer(line.text), None]:
        end = match.start() if match else len(line.text)
        piece = line.text[start:end]
        cells.append(Cell(piece.strip(), line.start + start + len(piece) - len(piece.lstrip())))
        start = match.end() if match else end
    if mark == "|":
        cells = cells[1:] if line.text.lstrip().startswith("|") else cells
        cells = cells[:-1] if line.text.rstrip().endswith("|") and cells else cells
    if mark == "  " and cells and not cells[0].text:
        cells = cells[1:]
    return cells


def _heading(cell: Cell, words: Vocabulary) -> Heading:
    title = cell.text.strip().lower()
    found = tokens({"open": "opening"}.get(title, title), [])
    spelled = {token.text for token in found}
    named = mentions(found, words, set())
    if len(named) == 1 and named[0].codes:
        return Heading("measure", named[0], cell.text)
    if named:
        return Heading("foreign", named[0], cell.text)
    if spelled & _COUNT or cell.text.strip().lower() in ("#", "x"):
        return Heading("quantity", None, cell.text)
    if spelled & _FINISH:
        return Heading("finish", None, cell.text)
    return Heading("other", None, cell.text)


def _headings(line: Cell, words: Vocabulary) -> list[Heading]:
    """Headings with single spaces between: only if every word is part of one."""
    found = tokens(line.text.lower(), [])
    named = {mention.first: mention for mention in mentions(found, words, set())}
    headings: list[Heading] = []
    at = 0
    while at < len(found):
        if at in named:
            headings.append(Heading("measure" if named[at].codes else "foreign", named[at]))
            at = named[at].last
            continue
        text = found[at].text
        if text in _COUNT:
            headings.append(Heading("quantity"))
        elif text in _FINISH:
            headings.append(Heading("finish"))
        elif text in ("window", "room", "location", "place", "name") and not headings:
            headings.append(Heading("other"))
        elif text not in ("glass", "height", "size", "(", ")", "in", "mm", "inches", "/"):
            return []
        at += 1
    return headings


def _by_size(line: Cell, known: list[Heading] | None = None) -> list[Cell] | None:
    """A row whose cells are parted by single spaces: its amounts in order, words before as its name."""
    if known is None:
        return [line]
    found = tokens(line.text, [])
    sized = amounts(found, frozenset())
    numeric = [h for h in known if h.kind in ("measure", "quantity", "foreign")]
    if len(sized) != len(numeric):
        return None
    cells: list[Cell] = []
    rest = iter(sized)
    last = 0
    for heading in known:
        if heading.kind in ("measure", "quantity", "foreign"):
            amount = next(rest)
            cells.append(Cell(line.text[amount.start : amount.end], line.start + amount.start))
            last = amount.end
        elif heading.kind == "other":
            cells.append(Cell(line.text[: sized[0].start].strip(), line.start))
        else:
            after = line.text[last:].split(" ")
            piece = next((word for word in after if word), "")
            cells.append(Cell(piece, line.start + line.text.find(piece, last)))
    return cells


def amount_in(cell: Cell, places: frozenset[str]) -> Amount | None:
    """The one amount that is all of a cell, with its place in the message; None if it is not alone."""
    found = tokens(cell.text, [])
    sized = amounts(found, places)
    if len(sized) != 1 or sized[0].last - sized[0].first != len(found):
        return None
    amount = sized[0]
    amount.start += cell.start
    amount.end += cell.start
    return amount
