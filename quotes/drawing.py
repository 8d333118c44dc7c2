"""The window to scale, as a shop drawing: plain shapes. Knows no Django.

A page (`quotes.svg`) and a paper (`quotes.documents.paper_drawing`) draw the same one. Sizes on the sheet are in
points; every text is kept apart from markup.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from sizing.lengths import Length
from sizing.wording import gettext as _

# Line kinds of a drawing: "object" what is there, "thin" glass and detail, "dimension" with its
# arrowheads, "doubt" dashed, "missing" dotted; "note" and "value" are lettering.
Kind = Literal["object", "thin", "pane", "dimension", "doubt", "missing", "value", "note"]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True)
class Dimension:
    """One measure on the drawing.

    `words` is what was typed. `size` is what it was understood as; None: not known yet, shown as "?".
    `likely` is the size of the row the answer leans to: it places a missing or doubtful measure.
    `doubt` is a word or two, such as "check"; empty: nothing wrong with it.
    """

    name: str
    words: str = ""
    size: Length | None = None
    likely: Length | None = None
    doubt: str = ""

    @property
    def placed(self) -> Length | None:
        return self.likely if self.size is None else self.size

    @property
    def kind(self) -> Kind:
        if self.size is None:
            return "missing"
        return "doubt" if self.doubt else "dimension"


@dataclass(frozen=True)
class Line:
    x1: float
    y1: float
    x2: float
    y2: float
    kind: Kind


@dataclass(frozen=True)
class Box:
    x: float
    y: float
    width: float
    height: float
    kind: Kind


@dataclass(frozen=True)
class Arrow:
    """A filled arrowhead with its tip at x, y; dx, dy is the unit direction it points in."""

    x: float
    y: float
    dx: float
    dy: float
    kind: Kind


@dataclass(frozen=True)
class Words:
    """Lettering. `y` is the baseline; `mark` sets a warning triangle before it."""

    x: float
    y: float
    text: str
    kind: Kind
    anchor: Anchor = "middle"
    mark: bool = False


Shape = Line | Box | Arrow | Words


@dataclass(frozen=True)
class Drawing:
    width: float
    height: float
    title: str
    description: str
    shapes: tuple[Shape, ...] = field(default=())


LEFT, RIGHT, TOP = 94.0, 88.0, 20.0
PANE_ROOM = 272.0
ARROW = 7.0
# Rails as shares of what glass leaves free in the opening: top, meeting, bottom.
RAILS = (0.28, 0.22, 0.50)
NOMINAL = Length(24 * 8128)


def draw_window(
    upper: Dimension,
    lower: Dimension,
    whole: Sequence[Dimension] = (),
    width: Length | None = None,
) -> Drawing:
    """A double-hung window seen from inside: two sashes, glass heights left, whole heights right.

    `whole` are heights of the window itself, inmost first (opening, then the part's long point).
    `width` is the glass width when somebody gave it; otherwise only heights are to scale.
    """
    heights = _heights(upper, lower, whole)
    longest = max([heights.total, *(d.placed or 0 for d in whole)])
    # A wild number must not shrink the window to a speck.
    scale = PANE_ROOM / min(longest, 1.6 * heights.total)
    opening = heights.total * scale
    wide = min(max(width * scale, 60.0), 230.0) + 18 if width else min(max(0.56 * opening, 96), 150)
    x, y = LEFT, TOP
    shapes: list[Shape] = []
    _frame(shapes, x, y, wide, opening)
    panes = _sashes(shapes, heights, scale, x, y, wide)
    for dim, (pane_y, pane_high) in zip((upper, lower), panes, strict=True):
        _vertical(shapes, dim, x - 46, x + 9, pane_y, pane_y + pane_high)
    for place, dim in enumerate(whole):
        size = dim.placed or heights.total
        end = y + min(max(size * scale, 24), PANE_ROOM + 4)
        at = x + wide + 54 + place * RIGHT
        _vertical(shapes, dim, at, x + wide + 3, y, end)
    low = y + PANE_ROOM + 30
    note = _("heights to scale") if heights.agree else _("not to scale: the heights do not add up")
    if not any(d.placed for d in (upper, lower, *whole)):
        note = _("a sketch: no height is known yet")
    if width and heights.agree:
        note = _("to scale")
    shapes.append(Words(x + wide / 2, low, note, "note"))
    return Drawing(
        width=x + wide + 16 + len(whole) * RIGHT + (8 if whole else 0),
        height=low + 10,
        title=_("The window to scale"),
        description=_description([upper, lower, *whole], note),
        shapes=tuple(shapes),
    )


def draw_bar(lengths: Sequence[Dimension], title: str = "") -> Drawing:
    """A part sold by length: a bar with one dimension line under it for each measure."""
    placed = [d.placed or 0 for d in lengths]
    longest = max([*placed, 1])
    x, room, y = 24.0, 290.0, 30.0
    shapes: list[Shape] = [
        Box(x, y, room, 16, "object"),
        Line(x, y + 5, x + room, y + 5, "thin"),
        Line(x, y + 11, x + room, y + 11, "thin"),
    ]
    for place, dim in enumerate(lengths):
        size = dim.placed
        end = x + (room * max(size / longest, 0.08) if size else room)
        _horizontal(shapes, dim, y + 44 + 46 * place, y + 19, x, end)
    return Drawing(
        width=x * 2 + room,
        height=y + 64 + 46 * max(len(lengths) - 1, 0),
        title=title or _("The part to scale"),
        description=_description(lengths, _("to scale")),
        shapes=tuple(shapes),
    )


@dataclass(frozen=True)
class _Heights:
    upper: float
    lower: float
    total: float
    agree: bool


def _heights(upper: Dimension, lower: Dimension, whole: Sequence[Dimension]) -> _Heights:
    """Glass heights and the opening they stand in; what nobody gave follows from what is there."""
    total = next((d.placed for d in whole if d.placed), None)
    u: float | None = upper.placed
    v: float | None = lower.placed
    if u is None and v is None:
        u = v = round(total * 0.45) if total else NOMINAL
    elif u is None or v is None:
        known = u or v or NOMINAL
        other = known if total is None else total - known - round(0.12 * total)
        # Less than a quarter of the other sash is no sash: draw an equal one until more is known.
        other = other if other > known / 4 else known
        u, v = (u or other), (v or other)
    thin = max(u, v, 8) / 8
    agree = min(u, v) >= thin
    u, v = max(u, thin), max(v, thin)
    glass = u + v
    agree = agree and (total is None or glass < total <= 1.5 * glass)
    return _Heights(u, v, float(total) if total and agree else 1.12 * glass, agree)


def _frame(shapes: list[Shape], x: float, y: float, wide: float, high: float) -> None:
    """The frame round the opening, with a sill that stands out on both sides."""
    shapes += [
        Box(x - 7, y - 7, wide + 14, high + 7, "object"),
        Box(x - 14, y + high, wide + 28, 7, "object"),
        Box(x, y, wide, high, "thin"),
    ]


def _sashes(
    shapes: list[Shape], heights: _Heights, scale: float, x: float, y: float, wide: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Draw both sashes; returns (top, height) of the upper and of the lower glass."""
    free = (heights.total - heights.upper - heights.lower) * scale
    top, meeting, _bottom = (free * share for share in RAILS)
    u, v = heights.upper * scale, heights.lower * scale
    rail = y + top + u
    upper, lower = (y + top, u), (rail + meeting, v)
    shapes.append(Box(x, rail, wide, meeting, "object"))
    for (pane_y, pane_high), up in ((upper, False), (lower, True)):
        shapes.append(Box(x + 9, pane_y, wide - 18, pane_high, "pane"))
        _glass_marks(shapes, x + 9, pane_y, wide - 18, pane_high)
        _slide_arrow(shapes, x + wide / 2, pane_y + pane_high / 2, min(13, pane_high / 4), up)
    return upper, lower


def _glass_marks(shapes: list[Shape], x: float, y: float, wide: float, high: float) -> None:
    run = min(wide, high) * 0.26
    for shift in (0, 7):
        shapes.append(Line(x + 6 + shift, y + 6 + run, x + 6 + shift + run, y + 6, "thin"))


def _slide_arrow(shapes: list[Shape], x: float, y: float, half: float, up: bool) -> None:
    tip, tail = (y - half, y + half) if up else (y + half, y - half)
    shapes += [Line(x, tail, x, tip, "thin"), Arrow(x, tip, 0, -1 if up else 1, "thin")]


def _lettering(dim: Dimension) -> list[tuple[str, Kind, bool]]:
    """(text, kind, mark) lines from top to bottom: the value, the doubt in words, the name."""
    words = dim.words if len(dim.words) <= 15 else f"{dim.words[:14]}…"
    lines: list[tuple[str, Kind, bool]] = [(words if dim.size else "?", "value", False)]
    if dim.doubt:
        lines.append((dim.doubt, "doubt", True))
    return lines + [(name, "note", False) for name in _name_lines(dim.name)]


@lru_cache(maxsize=512)
def _name_lines(name: str) -> tuple[str, ...]:
    return tuple(textwrap.wrap(textwrap.shorten(name, 40, placeholder="…"), 13)[:3])


def _vertical(
    shapes: list[Shape],
    dim: Dimension,
    at: float,
    edge: float,
    start: float,
    end: float,
) -> None:
    """A dimension line at x = `at` from y start to end, its lettering set into a gap of the line."""
    kind, reach = dim.kind, 5 if at > edge else -5
    shapes += [Line(edge, y, at + reach, y, "dimension") for y in (start, end)]
    lines, middle = _lettering(dim), (start + end) / 2
    if _gap(lines) + 4 * ARROW > end - start:
        # A short dimension keeps its value and its doubt; the description names it.
        lines = [line for line in lines if line[1] != "note"]
    half = _gap(lines) / 2
    inside = end - start > 2 * half + 3 * ARROW
    if inside:
        shapes += [
            Line(at, start, at, middle - half - 3, kind),
            Line(at, middle + half + 3, at, end, kind),
        ]
    # Without room inside, the arrowheads point inward from outside, as on any drawing.
    way = 1 if inside else -1
    shapes += [Arrow(at, start, 0, -way, kind), Arrow(at, end, 0, way, kind)]
    y = middle - half + 13
    for text, lettering, mark in lines:
        shapes.append(Words(at, y, text, lettering, mark=mark))
        y += 14


def _gap(lines: Sequence[object]) -> float:
    """The height that so many lines of lettering take."""
    return 16 + 14 * (len(lines) - 1)


def _horizontal(
    shapes: list[Shape], dim: Dimension, at: float, edge: float, start: float, end: float
) -> None:
    kind = dim.kind
    shapes += [Line(x, edge, x, at + 5, "dimension") for x in (start, end)]
    shapes += [
        Line(start, at, end, at, kind),
        Arrow(start, at, -1, 0, kind),
        Arrow(end, at, 1, 0, kind),
    ]
    (value, lettering, _mark), *rest = _lettering(dim)
    shapes.append(Words(start + 10, at - 6, value, lettering, anchor="start"))
    for text, kind_of, mark in rest[:1] if dim.doubt else []:
        shapes.append(Words(end - 10, at - 6, text, kind_of, anchor="end", mark=mark))
    shapes.append(Words(start + 10, at + 14, dim.name, "note", anchor="start"))


def _description(dims: Iterable[Dimension], note: str) -> str:
    parts = []
    for dim in dims:
        said = dim.words if dim.size is not None else _("not known yet")
        parts.append(f"{dim.name}: {said}" + (f" ({dim.doubt})" if dim.doubt else ""))
    return _("{measures}; drawn {how}.").format(measures="; ".join(parts), how=note)
