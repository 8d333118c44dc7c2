"""The desk's record as pictures: the share of windows that held, and how wide they were. Pure shapes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from quotes.drawing import Box, Drawing, Line, Shape, Words

WIDE, HIGH = 400.0, 210.0
_LEFT, _RIGHT, _TOP, _LOW = 46.0, 388.0, 22.0, 168.0
MOST = 12


def share_plot(points: Sequence[tuple[str, float, int]], level: float) -> Drawing:
    """(name, share inside, windows) as columns against the level they are meant to hold at."""
    said = "; ".join(f"{name}: {share:.0%} of {count}" for name, share, count in points[-MOST:])
    shapes = [*_scale(1.0, [0, 0.5, 1.0], lambda v: f"{v:.0%}")]
    shapes += _columns([(name, share) for name, share, _ in points], 1.0)
    y = _LOW - level * (_LOW - _TOP)
    shapes += [
        Line(_LEFT, y, _RIGHT, y, "doubt"),
        Words(_RIGHT, y - 5, f"meant: {level:.0%}", "note", "end"),
    ]
    return Drawing(WIDE, HIGH, "Share of windows that held, by month told", said, tuple(shapes))


def width_plot(points: Sequence[tuple[str, float]]) -> Drawing:
    """(name, median width in days) as columns."""
    top = max((value for _, value in points), default=1.0)
    most = max(7.0, -(-top // 7) * 7)
    said = "; ".join(f"{name}: {value:.0f} days" for name, value in points[-MOST:])
    shapes = [*_scale(most, [0, most / 2, most], lambda v: f"{v:.0f} d"), *_columns(points, most)]
    return Drawing(WIDE, HIGH, "Width of windows, by month told (median)", said, tuple(shapes))


def _scale(most: float, marks: Sequence[float], words: Callable[[float], str]) -> list[Shape]:
    shapes: list[Shape] = [Line(_LEFT, _TOP, _LEFT, _LOW, "thin")]
    for mark in marks:
        y = _LOW - mark / most * (_LOW - _TOP)
        shapes += [
            Line(_LEFT - 4, y, _RIGHT, y, "thin"),
            Words(_LEFT - 7, y + 4, words(mark), "note", "end"),
        ]
    return shapes


def _columns(points: Sequence[tuple[str, float]], most: float) -> list[Shape]:
    points = points[-MOST:]
    step = (_RIGHT - _LEFT) / max(len(points), 1)
    wide = min(step * 0.6, 34.0)
    every = -(-len(points) // 5)
    shapes: list[Shape] = []
    for at, (name, value) in enumerate(points):
        x = _LEFT + step * (at + 0.5)
        high = value / most * (_LOW - _TOP)
        shapes.append(Box(x - wide / 2, _LOW - high, wide, high, "pane"))
        if at % every == 0:
            shapes.append(Words(x, _LOW + 18, name, "note"))
    return shapes
