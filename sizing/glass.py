"""Sash weight worked out from the glass and the frame, for when nobody can weigh the sash.

Glass: 2.5 kg for a square metre and a millimetre of thickness (soda-lime float glass, EN 572-1).
Every other figure is a range. A range counts as even between its ends, so its standard deviation is
the half width over the square root of 3; independent ones add as squares.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from sizing.lengths import PER_MM, Length, LengthError, Unit, parse_length
from sizing.weights import PER_KG, Weight

GLASS_DENSITY = 2500  # kg/m3, EN 572-1
# A sheet is rarely its nominal thickness: inch and millimetre nominals of one glass differ by 5 to 6 %
# and the printed weights of MIL-HDBK-1013/12 tables 29 and 30 lie up to 8 % off the nominal figure.
GLASS_SPREAD = Fraction(8, 100)

Range = tuple[float, float]
T = TypeVar("T")
# Spacer and sealant round an insulating unit, kg for a metre of edge and each pane past the first.
EDGE_SEAL: Range = (0.05, 0.25)  # from memory


@dataclass(frozen=True)
class Frame:
    """A sash frame: density of its material in kg/m3, its section seen from the front (face) and
    from the side (depth) in mm, and the share of that outline that is material (hollows and the
    glass groove are not)."""

    label: str
    density: Range
    face: Range
    depth: Range
    filled: Range


# Densities and sections are from memory but for pine: 448 kg/m3 at 12 % moisture follows from the
# specific gravity 0.40 of ponderosa pine (USDA Wood Handbook, from memory); other pines lie around it.
FRAMES: Mapping[str, Frame] = {
    "pine": Frame("Pine or fir", (400, 520), (44, 60), (32, 45), (0.80, 0.95)),
    "hardwood": Frame("Hardwood", (600, 750), (44, 60), (32, 45), (0.80, 0.95)),
    "vinyl": Frame("Vinyl (hollow PVC)", (1400, 1450), (45, 65), (30, 40), (0.22, 0.36)),
    "aluminum": Frame("Aluminum (hollow)", (2680, 2720), (30, 50), (25, 40), (0.10, 0.20)),
}
GLASS_ONLY = Frame("Glass only", (0, 0), (0, 0), (0, 0), (0, 0))


@dataclass(frozen=True)
class Thickness:
    """A glass thickness as it is sold, and the thickness its weight is counted with."""

    label: str
    nominal: Length
    counted: Length


def _inch(label: str, sixty_fourths: int, mm: int | None = None) -> Thickness:
    nominal = Length(sixty_fourths * 127)
    return Thickness(label, nominal, nominal if mm is None else Length(mm * PER_MM))


# A thin sheet is close to its inch nominal; from 1/4 in on the sheet is the thinner metric one
# (ASTM C1036 gives 1/4 in as 5.56 to 6.20 mm, its upper bound from memory), so that is what is counted.
THICKNESSES: tuple[Thickness, ...] = (
    _inch('Single strength, 3/32"', 6),
    _inch('Double strength, 1/8"', 8),
    _inch('5/32"', 10),
    _inch('3/16"', 12),
    _inch('1/4"', 16, mm=6),
    _inch('5/16"', 20, mm=8),
    _inch('3/8"', 24, mm=10),
    *(
        Thickness(f"{mm} mm", Length(mm * PER_MM), Length(mm * PER_MM))
        for mm in (3, 4, 5, 6, 8, 10)
    ),
)
# "Double" alone is no thickness: it may as well mean two panes.
_NAMED = {thickness.label.lower(): thickness for thickness in THICKNESSES} | {
    "single strength": THICKNESSES[0],
    "double strength": THICKNESSES[1],
}
_PANES = {"1": 1, "one": 1, "single": 1, "2": 2, "two": 2, "double": 2, "3": 3, "three": 3}
_PANES |= {"triple": 3}


@dataclass(frozen=True)
class Estimate:
    """A weight and its error, one standard deviation."""

    weight: Weight
    error: Weight


class SashError(ValueError):
    """What is wrong with the sash as described: `problems` maps each field to one sentence."""

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__(" ".join(problems.values()))
        self.problems = dict(problems)


def estimate_sash_weight(
    width: Length, height: Length, thickness: Length, panes: int, frame: Frame
) -> Estimate:
    """The weight of one sash from the size of its glass, edge to edge.

    `thickness` is one pane's. The frame runs round the glass on its centre line. With GLASS_ONLY the
    weight is exactly area x thickness x panes x 2500 kg/m3.
    """
    volume = Fraction(width) * height * thickness * panes / Fraction(PER_MM * 1000) ** 3
    glass = volume * GLASS_DENSITY * PER_KG
    parts = [(float(glass), float(GLASS_SPREAD) / math.sqrt(3))]
    weight = glass
    if frame != GLASS_ONLY:
        edge = float(Fraction(2 * (width + height), PER_MM * 1000))
        around = edge + 4 * _middle(frame.face) / 1000
        section = _middle(frame.face) * _middle(frame.depth) * _middle(frame.filled) / 1e6
        ranges = (frame.density, frame.face, frame.depth, frame.filled)
        parts += [
            (around * section * _middle(frame.density) * PER_KG, math.hypot(*map(_spread, ranges))),
            (edge * _middle(EDGE_SEAL) * (panes - 1) * PER_KG, _spread(EDGE_SEAL)),
        ]
        weight += sum(round(part) for part, _ in parts[1:])
    error = math.hypot(*(part * spread for part, spread in parts))
    return Estimate(Weight(round(weight)), Weight(round(error)))


def _middle(span: Range) -> float:
    return (span[0] + span[1]) / 2


def _spread(span: Range) -> float:
    """One standard deviation of a range as a share of its middle."""
    return (span[1] - span[0]) / 2 / math.sqrt(3) / _middle(span)


def read_sash(texts: Mapping[str, str], unit: Unit) -> Estimate:
    """The estimate for a sash as typed: glass_width, glass_height, thickness, panes, frame.

    Lengths without a unit are in `unit`; `frame` is a key of FRAMES. Raises SashError.
    """
    problems: dict[str, str] = {}

    def read(field: str, reader: Callable[[str], T]) -> T | None:
        try:
            return reader(texts.get(field, ""))
        except ValueError as problem:
            problems[field] = str(problem)
            return None

    width = read("glass_width", lambda text: parse_length(text, unit))
    height = read("glass_height", lambda text: parse_length(text, unit))
    thickness = read("thickness", lambda text: read_thickness(text, unit))
    panes = read("panes", _read_panes)
    frame = read("frame", _read_frame)
    if width and height and thickness and panes and frame:
        return estimate_sash_weight(width, height, thickness, panes, frame)
    raise SashError(problems)


def read_thickness(text: str, unit: Unit) -> Length:
    """The thickness that a pane's weight is counted with, from a name, a label or a length. Raises LengthError."""
    named = _NAMED.get(" ".join(text.lower().split()))
    if named:
        return named.counted
    if not text.strip():
        raise LengthError('No glass thickness was given: type 1/8", 3 mm or double strength.')
    length = parse_length(text, unit)
    if not 2 * PER_MM <= length <= 25 * PER_MM:
        raise LengthError(
            f"“{text.strip()}” is no thickness of one pane, which is 2 to 25 mm: "
            'type 1/8", 3 mm or double strength.'
        )
    return next((t.counted for t in THICKNESSES if t.nominal == length), length)


def _read_panes(text: str) -> int:
    panes = _PANES.get(text.strip().lower())
    if panes is None:
        raise ValueError("The number of panes was not read: type 1, 2 or 3.")
    return panes


def _read_frame(text: str) -> Frame:
    frame = FRAMES.get(text.strip().lower())
    if frame is None:
        raise ValueError(f"The frame was not read: choose one of {', '.join(FRAMES)}.")
    return frame
