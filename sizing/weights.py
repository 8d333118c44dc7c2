"""Weights as exact whole counts of nanograms: 1 lb = 453 592 370 000, 1 oz = 28 349 523 125."""

from __future__ import annotations

from enum import StrEnum
from typing import NewType

Weight = NewType("Weight", int)

PER_KG = 1_000_000_000_000
PER_POUND = 453_592_370_000
PER_OUNCE = 28_349_523_125


class WeightUnit(StrEnum):
    POUND = "lb"
    KG = "kg"
