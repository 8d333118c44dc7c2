"""A second set of invented factories, made another way than `simulated_factories`: nothing of theirs is reused.

Durations come from Erlang, Weibull, triangular, uniform and two-humped laws and from a real queue, on
a calendar of its own. Orders are written as rows of the history file, as a shop would export them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

FIRST, LAST = np.datetime64("2021-09-06"), np.datetime64("2025-03-31")
HOLIDAYS = np.array(
    [f"{year}-{day}" for year in range(2021, 2027)
     for day in ("01-01", "06-19", "07-04", "11-11", "12-25")]
    + ["2021-09-06", "2022-05-30", "2022-09-05", "2022-11-24", "2023-05-29", "2023-09-04",
       "2023-11-23", "2024-05-27", "2024-09-02", "2024-11-28", "2025-05-26", "2025-09-01"],
    dtype="datetime64[D]",
)  # fmt: skip


def weeks_shut(*month_days: tuple[str, int]) -> tuple:
    """So many days from the Monday on or before each month-day, every year."""
    days = []
    for year in range(2021, 2027):
        for month_day, length in month_days:
            first = np.datetime64(f"{year}-{month_day}")
            monday = first - (first.astype(int) + 3) % 7
            days.append(monday + np.arange(length))
    return tuple(np.concatenate(days))


def erlang(rng: np.random.Generator, n: int) -> np.ndarray:
    return rng.gamma(60, 1 / 60, n)


def weibull(rng: np.random.Generator, n: int) -> np.ndarray:
    return rng.weibull(7, n) / 0.935


def triangular(rng: np.random.Generator, n: int) -> np.ndarray:
    return rng.triangular(0.8, 0.92, 1.4, n)


def uniform(rng: np.random.Generator, n: int) -> np.ndarray:
    return rng.uniform(0.78, 1.22, n)


def two_humped(rng: np.random.Generator, n: int) -> np.ndarray:
    """Most are made at once; a quarter wait for the next run of their finish."""
    return np.where(rng.random(n) < 0.25, 1.32, 0.95) * rng.normal(1, 0.06, n)


def pareto_tail(rng: np.random.Generator, n: int) -> np.ndarray:
    return erlang(rng, n) * np.where(rng.random(n) < 0.08, 1 + rng.pareto(2.2, n), 1.0)


@dataclass(frozen=True)
class Mill:
    orders: int = 1200
    days: float = 25.0
    law: Callable[[np.random.Generator, int], np.ndarray] = erlang
    pace: Callable[[np.ndarray], np.ndarray] | None = None  # of years since FIRST
    shut: tuple = ()  # days off beside HOLIDAYS
    parts: int = 18
    class_step: float = 0.0
    finish_step: float = 0.0
    quantity_step: float = 0.0
    promised: float = 0.0
    promise_bias: float = 0.0  # working days the promise is too early
    promise_spread: float = 3.0
    friday: bool = False
    capacity: float = 0.0  # orders a working day; 0: no queue
    newcomer_from: str = ""  # family N begins on this day
    growth: float = 0.0  # of the number of orders, a year

    def rows(self, code: str, seed: int) -> list[tuple]:
        """(reference, family, part, quantity, ordered, shipped, promised) of every order, all shipped."""
        rng = np.random.default_rng([seed, 90210])
        n, span = self.orders, int((LAST - FIRST).astype(int))
        share = rng.beta(1, 1, n)
        if self.growth:
            share = np.log1p(share * np.expm1(self.growth)) / self.growth
        ordered = np.sort(FIRST + (share * span).astype(int))
        off = np.concatenate([HOLIDAYS, np.array(self.shut, dtype="datetime64[D]")])
        ordered = np.busday_offset(ordered, 0, roll="forward")  # the desk works Monday to Friday
        part = np.minimum(rng.geometric(0.16, n) - 1, self.parts - 1)
        family = np.where(part % 3 == 2, "N" if self.newcomer_from else "B", "A")
        if self.newcomer_from:
            early = (family == "N") & (ordered < np.datetime64(self.newcomer_from))
            part = np.where(early, part - 1, part)
            family = np.where(early, "A", family)
        quantity = 1 + rng.poisson(1.5, n) + 10 * (rng.random(n) < 0.06)
        factor = np.exp(self.class_step * (part % 2) + self.finish_step * (part % 5 == 0))
        factor = factor * (1 + self.quantity_step * (quantity - 1))
        if self.pace:
            factor = factor * self.pace((ordered - FIRST).astype(float) / 365.25)
        made = self.days * factor * self.law(rng, n)
        if self.capacity:
            made = made + self._queue(ordered, rng)
        whole = np.maximum(np.floor(made + rng.random(n)), 1).astype(int)
        shipped = np.busday_offset(ordered, whole, roll="forward", holidays=off)
        if self.friday:
            shipped = shipped + (4 - (shipped.astype(int) + 3) % 7) % 7
            shipped = np.busday_offset(shipped, 0, roll="backward", holidays=off)
            shipped = np.maximum(shipped, ordered)
        aim = np.rint(whole - self.promise_bias + rng.normal(0, self.promise_spread, n))
        said = np.busday_offset(ordered, np.maximum(aim, 2).astype(int), roll="forward")
        promised = np.where(rng.random(n) < self.promised, said, np.datetime64("NaT"))
        return [
            (f"{code}-{i}", f"{code}{family[i]}", f"{code}{family[i]}-{part[i]}", quantity[i],
             ordered[i], shipped[i], "" if np.isnat(promised[i]) else promised[i])
            for i in range(n)
        ]  # fmt: skip

    def _queue(self, ordered: np.ndarray, rng: np.random.Generator) -> np.ndarray:
        """Working days each order waits behind those before it."""
        at = np.busday_count(FIRST, ordered).astype(float)
        free, waits = 0.0, np.zeros(at.size)
        for i, now in enumerate(at):
            free = max(free, now)
            waits[i] = free - now
            free += rng.exponential(1 / self.capacity)
        return waits


STEADY = Mill()
MILLS: dict[str, Mill] = {
    "steady, Erlang": STEADY,
    "steady, even between 19 and 31 days": Mill(law=uniform),
    "early more than late, triangular": Mill(law=triangular),
    "two-humped": Mill(law=two_humped),
    "Weibull, growing sales": Mill(law=weibull, growth=0.8),
    "shut in August and at Christmas, busy springs": Mill(
        shut=weeks_shut(("08-08", 14), ("12-24", 10)),
        pace=lambda y: 1 + 0.3 * np.exp(-(((y + 0.68) % 1 - 0.35) / 0.09) ** 2),
    ),
    "shut in July and about New Year, two waves a year": Mill(
        orders=800,
        shut=weeks_shut(("07-04", 12))
        + tuple(np.concatenate([np.datetime64(f"{y}-12-24") + np.arange(10) for y in range(2021, 2026)])),
        pace=lambda y: 1 + 0.15 * np.sin(2 * np.pi * (y - 0.1)) + 0.05 * np.sin(4 * np.pi * y),
    ),
    "shut in July, few orders": Mill(orders=350, shut=weeks_shut(("07-11", 14))),
    "steady, few parts, many orders": Mill(orders=4000, parts=4),
    "steady, 300 orders": Mill(orders=300),
    "far slower than declared": Mill(days=60, orders=800),
    "far quicker than declared": Mill(days=7, orders=800),
    "slowing down, few orders": Mill(orders=400, pace=lambda y: 1 + 0.5 * np.clip(y - 1.5, 0, 2) / 2),
    "slowing down to the end, fast": Mill(
        orders=900, days=22, pace=lambda y: 1 + 0.6 * np.clip(y - 2.4, 0, 1.2) / 1.2
    ),
    "slowing down all the time": Mill(pace=lambda y: 1 + 0.18 * y),
    "slowing down lately": Mill(pace=lambda y: 1 + 0.45 * np.clip(y - 2.0, 0, 1.5) / 1.5),
    "quicker all the time": Mill(days=34, pace=lambda y: 1 - 0.12 * y),
    "slower at once, 2024-04-01": Mill(pace=lambda y: np.where(y > 2.57, 1.4, 1.0)),
    "quicker at once, 2024-04-01": Mill(days=33, pace=lambda y: np.where(y > 2.57, 0.72, 1.0)),
    "slower at once long past": Mill(pace=lambda y: np.where(y > 1.2, 1.4, 1.0)),
    "quicker at once long past": Mill(days=33, pace=lambda y: np.where(y > 1.2, 0.72, 1.0)),
    "Pareto tail": Mill(law=pareto_tail),
    "110 orders": Mill(orders=110),
    "45 orders": Mill(orders=45),
    "heavy class slower": Mill(class_step=0.3, finish_step=0.15),
    "each piece takes longer": Mill(quantity_step=0.03),
    "promises six days early": Mill(
        law=two_humped, promised=0.9, promise_bias=6, promise_spread=2
    ),
    "promises two days late, kept": Mill(
        law=uniform, promised=0.8, promise_bias=-2, promise_spread=1.5
    ),
    "promises worth nothing": Mill(promised=0.7, promise_spread=10),
    "ships on Fridays": Mill(friday=True),
    "a queue near its capacity": Mill(days=18, orders=1400, capacity=1.65),
    "a new family": Mill(newcomer_from="2024-06-01"),
}  # fmt: skip
LOUD = replace(STEADY, law=pareto_tail, friday=True, promised=0.5, promise_bias=4)
MILLS["Fridays, tail, biased promises"] = LOUD
