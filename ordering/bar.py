"""A window as a dimension line on a line of days: today, the promise and what was told stand above it.

Shapes as in `quotes.drawing`, so that a page shows it as one picture with its words for a screen
reader. Pure.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from ordering.attention import really_moved
from ordering.sentences import day, it, window_in_words
from ordering.states import Window
from quotes.days import short_day
from quotes.drawing import Anchor, Arrow, Box, Drawing, Line, Shape, Words
from sizing.wording import gettext as _

WIDE, HIGH = 400.0, 150.0
_FROM, _TO = 62.0, 338.0
_AXIS, _BAR = 78.0, 108.0
_ROWS = (16.0, 36.0, 56.0)
# The longest words of a day, with some room.
_NEAR = 140.0


def draw_bar(
    window: Window, today: date, promised: date | None = None, told: Window | None = None
) -> Drawing:
    """The window with today, the day the factory has promised, and what was told where it has moved."""
    if not really_moved(told, window):
        told = None
    days = [window.earliest, window.latest, today, *([promised] if promised else [])]
    days += [told.earliest, told.latest] if told else []
    first, last = min(days), max(days)
    scale = (_TO - _FROM) / max((last - first).days, 1)

    def at(on: date) -> float:
        return _FROM + (on - first).days * scale

    shapes: list[Shape] = [Line(_FROM - 12, _AXIS, _TO + 12, _AXIS, "thin")]
    flags = [(at(today), _("today, {day}").format(day=short_day(today)))]
    said = [_("Today is {day}.").format(day=day(today))]
    if promised:
        words = _("factory says {day}").format(day=short_day(promised))
        flags.append((at(promised), words))
        said.append(_("The factory says {day}.").format(day=day(promised)))
    shapes += _flags(flags)
    if told:
        shapes += [
            Line(at(told.earliest), _AXIS - 6, at(told.latest), _AXIS - 6, "missing"),
            Words((at(told.earliest) + at(told.latest)) / 2, _ROWS[2], _("told before"), "note"),
        ]
        words = _("We had told you {first} to {last}.")
        said.append(words.format(first=day(told.earliest), last=day(told.latest)))
    shapes += _window(window, at)
    title = it(window_in_words(window))
    return Drawing(WIDE, HIGH, title, " ".join(said), tuple(shapes))


def _flags(flags: list[tuple[float, str]]) -> list[Shape]:
    """Days above the axis, a row each. The words of two that stand near each other begin, or end, at their day, the
    outer one above: so that no arrow goes through the other's words."""
    xs = [x for x, _words in flags]
    together: Anchor | None = None
    if len(xs) > 1 and max(xs) - min(xs) < _NEAR:
        together = "start" if sum(xs) < WIDE else "end"
        flags = sorted(flags, reverse=together == "end")
    return [
        shape
        for y, (x, words) in zip(_ROWS, flags, strict=False)
        for shape in _flag(x, y, words, together or _anchor(x))
    ]


def _anchor(x: float) -> Anchor:
    return "start" if x < WIDE * 0.3 else "end" if x > WIDE * 0.7 else "middle"


def _flag(x: float, y: float, words: str, anchor: Anchor) -> list[Shape]:
    """A day's words, and an arrowhead on the day itself."""
    return [
        Words(x, y, words, "note", anchor),
        Line(x, y + 4, x, _AXIS, "dimension"),
        Arrow(x, _AXIS, 0, 1, "dimension"),
    ]


def _window(window: Window, at: Callable[[date], float]) -> list[Shape]:
    """The window as a dimension between two lines, its likely day as a mark upon it."""
    left, right = at(window.earliest), at(window.latest)
    if right - left < 4:
        left, right = left - 2, right + 2
    shapes: list[Shape] = [
        Box(left, _AXIS - 3, right - left, 6, "object"),
        Line(left, _AXIS, left, _BAR + 6, "thin"),
        Line(right, _AXIS, right, _BAR + 6, "thin"),
        Line(left, _BAR, right, _BAR, "dimension"),
    ]
    if right - left > 20:
        shapes += [Arrow(left, _BAR, -1, 0, "dimension"), Arrow(right, _BAR, 1, 0, "dimension")]
    likely = at(window.likely)
    shapes += [
        Line(likely, _BAR - 7, likely, _BAR + 14, "object"),
        Words(left - 5, _BAR + 5, short_day(window.earliest), "note", "end"),
        Words(right + 5, _BAR + 5, short_day(window.latest), "note", "start"),
        Words(
            min(max(likely, 60), WIDE - 60),
            _BAR + 32,
            _("likely {day}").format(day=short_day(window.likely)),
            "value",
        ),
    ]
    return shapes
