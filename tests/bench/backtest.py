"""Plays a simulated factory forward: what the desk would have said on many days, and what happened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from ordering.estimator.lead_time import FactoryLeadTimes
from ordering.estimator.learned import Declared, Part, Past, learn
from tests.bench.simulated_factories import Factory

FAMILIES = [Declared("A", 4, 8), Declared("B", 4, 8)]


@dataclass(frozen=True)
class Held:
    """Shares and mean widths of windows; `calendar_days` from earliest to latest."""

    windows: int
    early: float
    late: float
    calendar_days: float

    @property
    def inside(self) -> float:
        return 1 - self.early - self.late

    @classmethod
    def of(cls, answers: list[tuple[date, date, date]]) -> Held:
        """From (earliest, latest, shipped) of each answer."""
        early = np.mean([shipped < first for first, _, shipped in answers])
        late = np.mean([shipped > last for _, last, shipped in answers])
        days = np.mean([(last - first).days for first, last, _ in answers])
        return cls(len(answers), float(early), float(late), float(days))


def play(
    factory: Factory, seed: int, days: list[date], new_for: int = 10
) -> tuple[list[tuple], list[tuple]]:
    """(new, open) answers: for the orders of the next `new_for` days, and for those under way."""
    simulated = factory.past(seed)
    parts = [
        Part(p % 2, f"P{p}", f"class {p % 3}", f"finish {(p // 2) % 3}")
        for p in range(factory.parts)
    ]
    past = Past(
        simulated.ordered, simulated.shipped, simulated.promised,
        simulated.quantity, simulated.part,
    )  # fmt: skip
    new, under_way = [], []
    for day in days:
        desk = FactoryLeadTimes(learn(FAMILIES, parts, past, day))
        first, last = np.searchsorted(
            past.ordered, [np.datetime64(day) + 1, np.datetime64(day + timedelta(days=new_for + 1))]
        )
        for i in range(first, last):
            part, on = parts[past.part[i]], past.ordered[i].item()
            window = desk.of_part(FAMILIES[part.family].code, part.number, on, past.quantity[i])
            new.append((window.earliest, window.latest, past.shipped[i].item()))
        for i in range(first):
            if past.shipped[i] > np.datetime64(day):
                part, said = parts[past.part[i]], past.promised[i].item()
                window = desk.of_open(
                    FAMILIES[part.family].code, part.number, past.quantity[i],
                    past.ordered[i].item(), said,
                )  # fmt: skip
                under_way.append((window.earliest, window.latest, past.shipped[i].item()))
    return new, under_way
