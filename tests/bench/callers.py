"""Simulated callers: windows, habits and readings, all of them invented and drawn from a fixed seed.

A caller has one window (on the table, an unequal split, or off the table), one set of habits, and
reads each measure once: the same answer comes back however often it is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sizing.lengths import PER_INCH, Length, Unit
from sizing.table import Column, Measure, SizeTable, Slip
from sizing.weights import WeightUnit

MEASURES = ("upper_glass", "lower_glass", "opening", "long_point")


def inches(value: float) -> Length:
    return Length(round(value * PER_INCH))


def jamb_table(
    glass: Sequence[float], opening: Sequence[float], long_point: Sequence[float]
) -> SizeTable:
    """A table of three columns with the slips that callers have."""
    columns = (
        Column("glass", "Glass"),
        Column("opening", "Opening"),
        Column("long_point", "Long point"),
    )
    measures = tuple(
        Measure(code, code, column, "length", inches(1 / 8), "", sash)
        for code, column, sash in (
            ("upper_glass", "glass", "upper"),
            ("lower_glass", "glass", "lower"),
            ("opening", "opening", None),
            ("long_point", "long_point", None),
        )
    )
    slips = (
        Slip(
            "upper_glass", "only the visible glass is measured", inches(-1.25), inches(-0.75), 0.15
        ),
        Slip(
            "lower_glass", "only the visible glass is measured", inches(-1.25), inches(-0.75), 0.15
        ),
        Slip("long_point", "the short point is measured", inches(-0.8), inches(-0.4), 0.12),
        Slip("opening", "the wrong stop is measured to", inches(0.4), inches(0.8), 0.07),
    )
    rows = tuple(
        tuple(inches(v) for v in row) for row in zip(glass, opening, long_point, strict=True)
    )
    return SizeTable(
        "demo", "Demo", "Factory", Unit.INCH, WeightUnit.POUND, "USD", 4, 8, columns, rows, measures, slips
    )  # fmt: skip


def regular_table() -> SizeTable:
    glass = np.arange(13, 34, 1.5)
    return jamb_table(glass, 2 * glass + 4.75, 2 * glass + 5.375)


def irregular_table() -> SizeTable:
    """Rows an inch to three apart and no one constant between the columns."""
    draw = np.random.default_rng(5)
    glass = 14 + np.cumsum(draw.choice([1.0, 1.5, 2.0, 3.0], 16))
    opening = 2 * glass + 5 + draw.choice([0, 0.125, 0.25, 0.375], 16)
    return jamb_table(glass, opening, opening + draw.choice([0.5, 0.5625, 0.625], 16))


@dataclass(frozen=True)
class World:
    """How callers are. `tails`: degrees of freedom of the reading error (None: normal)."""

    error: float = 1 / 8
    tails: float | None = None
    slip_stretch: float = 1.0
    shares: tuple[float, float, float] = (0.80, 0.12, 0.08)
    said: float = 0.62


@dataclass
class Caller:
    kind: str
    row: int
    said: tuple[str, ...]
    readings: dict[str, float] = field(default_factory=dict)


def draw_callers(table: SizeTable, world: World, count: int, seed: int) -> list[Caller]:
    draw = np.random.default_rng(seed)
    rows = np.array(table.rows) / PER_INCH
    return [_caller(table, rows, world, draw) for _ in range(count)]


def _caller(table: SizeTable, rows: np.ndarray, world: World, draw: np.random.Generator) -> Caller:
    kind = str(draw.choice(["row", "unequal", "off"], p=world.shares))
    row = int(draw.integers(len(rows)))
    size = rows[row]
    upper = lower = size[0]
    if kind == "off":
        size = _off_table(rows, draw)
        upper = lower = size[0]
    if kind == "unequal":
        share = draw.choice([0.4, 0.6, 0.45, 0.55, 1 / 3, 2 / 3])
        upper, lower = 2 * size[0] * share, 2 * size[0] * (1 - share)
    true = {"upper_glass": upper, "lower_glass": lower, "opening": size[1], "long_point": size[2]}
    habits = {s.name: draw.random() < s.share for s in table.slips}
    depth = {s.name: draw.uniform(s.shift_min, s.shift_max) / PER_INCH for s in table.slips}
    readings = {}
    for code, value in true.items():
        noise = draw.standard_normal() if world.tails is None else draw.standard_t(world.tails)
        read = value + world.error * noise
        for slip in table.slips:
            if slip.measure == code and habits[slip.name]:
                read += world.slip_stretch * depth[slip.name]
        if draw.random() < 0.02:
            read += draw.choice([-1.0, 1.0])
        readings[code] = round(max(read, 1.0) * 16) / 16
    said = tuple(code for code in MEASURES if draw.random() < world.said)
    return Caller(kind, row, said or (str(draw.choice(MEASURES)),), readings)


def _off_table(rows: np.ndarray, draw: np.random.Generator) -> np.ndarray:
    """An equal split between two rows, or up to 3 in beyond the ends."""
    if draw.random() < 0.25:
        end, inner = (0, 1) if draw.random() < 0.5 else (-1, -2)
        slope = (rows[end] - rows[inner]) / abs(rows[end, 0] - rows[inner, 0])
        return rows[end] + slope * draw.uniform(1.0, 3.0)
    wide = np.flatnonzero(np.diff(rows[:, 0]) >= 1.0)
    i = int(draw.choice(wide))
    return rows[i] + (rows[i + 1] - rows[i]) * draw.uniform(0.35, 0.65)
