"""Invented factories to test the lead-time windows on: each makes a past of orders from a seed.

Every factory declares 4 to 8 weeks. Durations are working days of the factory's own true calendar,
which the desk does not get to see: it has to learn shutdowns from the past. Nothing here is a fact.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from sizing.workdays import Calendar

FIRST, LAST = np.datetime64("2022-01-03"), np.datetime64("2025-06-30")
YEAR_END = tuple((date(y, 12, 24), date(y + 1, 1, 1)) for y in range(2021, 2027))
SUMMER = tuple((date(y, 7, 4), date(y, 7, 17)) for y in range(2021, 2027))


@dataclass(frozen=True)
class Past:
    """A factory's whole past, the future of every as-of date included. NaT: never promised."""

    ordered: np.ndarray
    shipped: np.ndarray
    promised: np.ndarray
    family: np.ndarray
    weight_class: np.ndarray
    finish: np.ndarray
    part: np.ndarray
    quantity: np.ndarray


@dataclass(frozen=True)
class Factory:
    orders: int = 1500
    typical: float = 26.0
    spread: float = 0.12
    parts: int = 24
    part_spread: float = 0.06
    shutdowns: tuple = ()
    season: float = 0.0
    level: Callable[[np.ndarray], np.ndarray] | None = None
    common: float = 0.0
    late_share: float = 0.0
    by_quantity: float = 0.0
    promise_share: float = 0.0
    promise_error: float = 3.0
    promise_early: float = 0.0
    round_the_clock: bool = False
    gamma: bool = False

    def past(self, seed: int) -> Past:
        rng = np.random.default_rng(seed)
        n, span = self.orders, int((LAST - FIRST).astype(int))
        ordered = FIRST + np.sort(rng.integers(0, span, n))
        part = rng.zipf(1.3, n) % self.parts
        family, weight_class, finish = part % 2, part % 3, (part // 2) % 3
        quantity = rng.choice([1, 2, 4, 8, 16], n, p=[0.4, 0.3, 0.15, 0.1, 0.05])
        year = (ordered - FIRST).astype(float) / 365.25
        days = self.typical * np.exp(rng.normal(0, self.part_spread, self.parts))[part]
        days = days * np.exp(self.season * np.sin(2 * np.pi * (year - 0.2)))
        days = days * (self.level(year) if self.level else 1.0)
        week = np.zeros(span // 7 + 2)
        for i in range(1, week.size):
            week[i] = 0.9 * week[i - 1] + rng.normal(0, self.common * np.sqrt(1 - 0.81))
        days = days * np.exp(week[(ordered - FIRST).astype(int) // 7])
        days = days * (quantity / 2) ** self.by_quantity
        if self.gamma:
            noise = rng.gamma(1 / self.spread**2, self.spread**2, n)
        else:
            noise = np.exp(rng.normal(0, self.spread, n))
        days = days * noise
        days = np.where(rng.random(n) < self.late_share, days * rng.uniform(1.3, 3.0, n), days)
        days = np.maximum(np.rint(days), 1).astype(int)
        calendar = Calendar("US", "", self.shutdowns)
        if self.round_the_clock:
            shipped = ordered + np.rint(days * 7 / 5).astype(int)
        else:
            shipped = calendar.add(ordered, days)
        said = np.rint(days - self.promise_early + rng.normal(0, self.promise_error, n))
        promised = calendar.add(ordered, np.maximum(said, 1).astype(int))
        promised = np.where(rng.random(n) < self.promise_share, promised, np.datetime64("NaT"))
        return Past(ordered, shipped, promised, family, weight_class, finish, part, quantity)


STEADY = Factory()
FACTORIES: dict[str, Factory] = {
    "steady": STEADY,
    "seasonal, shut in July and at the year's end": Factory(
        season=0.2, shutdowns=SUMMER + YEAR_END
    ),
    "slowing down by half in a year": Factory(
        level=lambda year: 1 + 0.5 * np.clip(year - 1.8, 0, 1), spread=0.13
    ),
    "slower at once": Factory(level=lambda year: np.where(year > 2.5, 1.35, 1.0)),
    "heavy tail": Factory(late_share=0.1, spread=0.10),
    "sparse parts": Factory(orders=450, parts=150, part_spread=0.15),
    "good promises": Factory(spread=0.2, promise_share=0.8, promise_error=2.0, promise_early=3.0),
    "promises of little worth": Factory(promise_share=0.6, promise_error=12.0, promise_early=5.0),
    "weeks good and bad": Factory(common=0.12, spread=0.08),
    "ships every day of the week": Factory(round_the_clock=True, gamma=True, spread=0.15),
    "big orders take longer": replace(STEADY, by_quantity=0.12),
    "few orders": Factory(orders=120, parts=12),
}
