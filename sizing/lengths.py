"""Lengths as exact whole counts of 1/320 mm, so that both rulers are exact.

1 mm = 320, 1/64 in = 127, 1 in = 8128 (the inch is 25.4 mm exactly: 16 CFR 500.19).
"""

from __future__ import annotations

from enum import StrEnum
from typing import NewType

Length = NewType("Length", int)

PER_MM = 320
PER_INCH = 8128


class Unit(StrEnum):
    INCH = "in"
    MM = "mm"
