"""How much a workbook's XML would have openpyxl make: weighed before it is opened.

It makes an object of whatever stands in a part: not of cells alone, but of each font, style, name and
rule, and of each cell of a merged range. A few kB pack millions of them.
"""

from __future__ import annotations

import re
from collections import Counter

import numpy as np
from openpyxl.utils import range_boundaries

MOST_CELLS = 200_000
# Of all else, fonts, styles and rules together; a bloated workbook of a real shop has some thousands.
MOST_OTHERS = 40_000
# Of the content of cells: each has up to four (itself, its value, a text of its own), each row one.
MOST_CONTENT = 5 * MOST_CELLS
# A formula that others share is made anew for each of them: its length times theirs.
MOST_SHARED = 1_000_000
# Of bytes from one < to the next, or of a comment: expat below 2.6 reads such a piece again with each block of it
# that comes in. A cell holds 32,767 characters.
MOST_PIECE = 200_000

_CONTENT = frozenset((b"c", b"v", b"f", b"is", b"t", b"si", b"row"))
_OPENED = re.compile(rb"<(?:\w+:)?(\w+)")
_RANGE = re.compile(rb"<(?:\w+:)?(?:mergeCell|hyperlink)\s[^<]*?\bref\s*=\s*[\"']([^\"'<]*)")
_RANGES = re.compile(rb"\bsqref\s*=\s*[\"']([^\"'<]*)")
_FORMULA = re.compile(rb"<(?:\w+:)?f\s[^<>]*>([^<]*)")


class Hidden(ValueError):
    """XML that declares entities, or hides them behind another coding."""


class Weight:
    """What the parts of one workbook come to so far."""

    def __init__(self) -> None:
        self.cells = self.content = self.others = 0
        self.formula = self.shared = self.piece = 0

    @property
    def is_too_much(self) -> bool:
        return (
            self.cells > MOST_CELLS
            or self.content > MOST_CONTENT
            or self.others > MOST_OTHERS
            or self.formula * self.shared > MOST_SHARED
            or self.piece > MOST_PIECE
        )

    def add(self, xml: bytes) -> None:
        """One part more. Raises Hidden; ValueError for a range that is none."""
        if b"<!DOCTYPE" in xml or b"<!ENTITY" in xml or b"\x00" in xml:
            raise Hidden
        # Counted before they are told apart: that takes memory, too.
        tags = xml.count(b"<")
        if tags > 2 * (MOST_CONTENT + MOST_OTHERS):
            self.content += tags
            return
        self.piece = max(self.piece, _longest_piece(xml))
        opened = Counter(_OPENED.findall(xml))
        content = {name: count for name, count in opened.items() if name in _CONTENT}
        # A row may have a height, which is an object like a cell.
        self.cells += content.get(b"c", 0) + content.get(b"row", 0) + _in_ranges(xml)
        self.content += sum(content.values())
        self.others += opened.total() - sum(content.values())
        self.others += sum(len(written.split()) for written in _RANGES.findall(xml))
        if b"shared" in xml:
            formulas = _FORMULA.findall(xml)
            self.shared += len(formulas)
            self.formula = max(self.formula, *map(len, formulas), 0)


def _longest_piece(xml: bytes) -> int:
    """In bytes; what is not closed counts as the longest there is."""
    begins = np.flatnonzero(np.frombuffer(xml, np.uint8) == ord("<"))
    longest = int(np.diff(begins, append=len(xml)).max(initial=0))
    for opened, closed in ((b"<!--", b"-->"), (b"<?", b"?>")):
        at = xml.find(opened)
        while at >= 0:
            end = xml.find(closed, at)
            if end < 0:
                return MOST_PIECE + 1
            longest = max(longest, end - at)
            at = xml.find(opened, end)
    return longest


def _in_ranges(xml: bytes) -> int:
    """The cells of merged and linked ranges, because openpyxl makes every one of them."""
    cells = 0
    for written in _RANGE.findall(xml):
        left, top, right, bottom = range_boundaries(written.decode())
        if None in (left, top, right, bottom):
            return MOST_CELLS + 1
        cells += (right - left + 1) * (bottom - top + 1)
    return cells
