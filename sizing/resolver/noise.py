"""How readings miss the true size: tape error, blunders and the usual slips, as tables to look up.

A reading's miss is counted in steps of 1/64 in (127 units of 1/320 mm). A `Curve` holds the density
per step of every miss a family can see, so that weighing a reading is one look-up.

The shares below are the desk's own judgement (no source): they keep a single wild number from
outvoting everything else, and let a slip that differs somewhat from the declared one still be seen.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sizing.lengths import PER_INCH, PER_MM, Unit

STEP = 127
# Tape error: most readings within the tolerance as one standard deviation, some at twice it.
TAPE = ((0.85, 1.0), (0.15, 2.0))
# Blunders: an inch (or a centimetre) misread either way, a careless reading, anything at all.
MISREAD, CARELESS, ANYTHING = 0.02, 0.02, 0.004
BLUNDER = MISREAD + CARELESS + ANYTHING
# A slip may differ from its declared range by about a third of its size; this share of it does.
STRAY_SHARE, STRAY_REACH = 0.25, 1 / 3
# Beyond this many inches from the row a reading says only "something else was measured".
REACH_STEPS = 64 * 8


def steps(lengths: np.ndarray | Sequence[int] | int) -> np.ndarray:
    """Lengths (1/320 mm) as whole 1/64 in steps, rounded to the nearest."""
    return np.rint(np.asarray(lengths, dtype=np.float64) / STEP).astype(np.int32)


_erf = np.vectorize(math.erf, otypes=[float])


def normal(x: np.ndarray, sd: float) -> np.ndarray:
    return np.exp(-0.5 * (x / sd) ** 2) / (sd * math.sqrt(2 * math.pi))


def smeared(x: np.ndarray, low: float, high: float, sd: float) -> np.ndarray:
    """Density at x of a uniform shift between low and high plus a normal error."""
    if high - low < 0.2 * sd:
        return normal(x - (low + high) / 2, sd)
    root = sd * math.sqrt(2)
    return (_erf((x - low) / root) - _erf((x - high) / root)) / (2 * (high - low))


def tape(x: np.ndarray, sd: float, also: float = 0.0) -> np.ndarray:
    """Density of a reading error without slip or blunder; `also`: a further deviation beside it."""
    return np.add.reduce([w * normal(x, float(np.hypot(sd * wider, also))) for w, wider in TAPE])


@dataclass(frozen=True, eq=False)
class Curve:
    """Density per step at a miss of k steps: `values[k + zero]`; beyond the ends the end value holds."""

    values: np.ndarray
    zero: int

    def at(self, miss: np.ndarray) -> np.ndarray:
        return np.take(self.values, miss + self.zero, mode="clip")


def curve(density: np.ndarray) -> Curve:
    """Wrap densities given at -n .. n, counted per inch: with that scale, and what is next to nothing
    taken as nothing, products of several stay clear of the subnormal numbers that slow a processor."""
    values = density * (PER_INCH / STEP)
    return Curve(np.where(values < 1e-9, 0, values).astype(np.float32), len(density) // 2)


def axis(reach: int = REACH_STEPS) -> np.ndarray:
    return np.arange(-reach, reach + 1, dtype=np.float64)


@dataclass(frozen=True)
class Habit:
    """One slip as the resolver uses it, in steps."""

    name: str
    low: float
    high: float
    share: float

    def pieces(self) -> list[tuple[float, float, float]]:
        """(share, low, high) of the declared range and of the strays on both sides of it."""
        reach = STRAY_REACH * abs(self.low + self.high) / 2
        core = [(self.share * (1 - STRAY_SHARE), self.low, self.high)]
        if reach < 1:
            return [(self.share, self.low, self.high)]
        stray = self.share * STRAY_SHARE / 2
        return [*core, (stray, self.low - reach, self.low), (stray, self.high, self.high + reach)]

    def density(self, x: np.ndarray, sd: float, times: float = 1.0) -> np.ndarray:
        """At misses x (steps) of a reading that slips so; `times`: of a measure that the slip moves so much."""
        total = np.zeros_like(x)
        for share, *ends in self.pieces():
            low, high = sorted(times * end for end in ends)
            total += share * smeared(x, low, high, sd)
        return total


def clean_and_slipped(
    x: np.ndarray, sd: float, habits: Sequence[Habit], times: int = 1
) -> np.ndarray:
    """Density of a miss without blunder: no slip, or one of the habits.

    `times` 2 gives the sum of two readings by one caller, who slips on both or on neither.
    """
    straight = 1 - sum(h.share for h in habits)
    pieces = [(straight, 0.0, 0.0)] + [p for h in habits for p in h.pieces()]
    total = np.zeros_like(x)
    for share, low, high in pieces:
        for weight, wider in TAPE:
            total += share * weight * smeared(x, times * low, times * high, sd * wider)
    return (1 - BLUNDER) ** times * total


def misreading(unit: Unit) -> float:
    """Steps of a whole inch, or of a centimetre where the tape is metric."""
    return (PER_INCH if unit is Unit.INCH else 10 * PER_MM) / STEP


def blunders(
    x: np.ndarray, sd: float, habits: Sequence[Habit], unit: Unit, span: float
) -> np.ndarray:
    """Density of a miss by blunder. `span` is how many steps a number out of nowhere may cover.

    A number is misread off the tape however the tape was held, so on top of any slip.
    """
    whole, wide = misreading(unit), 1.5 * sd
    misread = sum(clean_and_slipped(x + side * whole, wide, habits) for side in (-1, 1)) / 2
    return MISREAD * misread + CARELESS * normal(x, 4 * sd) + ANYTHING / span
