"""What a factory's own shipments say of its calendar: days it ships on, holidays it works, weeks it is shut.

Only the days up to the as-of date are read. A shutdown is a run of working days without a
shipment too long to be chance at the factory's usual share of days with a shipment: so long that a
whole past without a shutdown would show one like it once in fifty, or, as seldom, so often at the same
place in several years. Where less than half as many orders as usual were known to wait, as between an imported
past and the first shipments of the desk's own orders, a day without a shipment counts for that much less. One found comes back in later years at its place: by date where it touches
the turn of the year, else by ISO week and weekday.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import numpy as np

from sizing.workdays import SATURDAY_SUNDAY, Calendar, Span, public_holidays, spans

CHANCE = 0.02  # of seeing a shutdown in a whole past that has none
WORTH_COMPARING = 0.05  # the chance of a run on its own, to be looked for in other years
# A weekend day with at least this share of an even seventh of all shipments is a working day.
WORKED_WEEKEND = 0.25
STRAY = 0.03  # what leaves on a day off, against a working day
YEARS_AHEAD = 3
Waiting = Callable[[np.ndarray], np.ndarray]


def learned_calendar(
    country: str,
    region: str,
    shutdowns: tuple[Span, ...],
    shipped: np.ndarray,
    as_of: date,
    waiting: Waiting = lambda days: np.ones(days.size),
) -> Calendar:
    """The declared calendar corrected by the ship dates up to `as_of`; none changes nothing. `waiting`: how many
    orders were there to be shipped on each of some days.
    """
    shipped = shipped[shipped <= np.datetime64(as_of)]
    if shipped.size < 20:
        return Calendar(country, region, shutdowns)
    weekday = np.bincount((shipped.astype(int) + 3) % 7, minlength=7)
    weekend = tuple(
        day for day in SATURDAY_SUNDAY if weekday[day] < WORKED_WEEKEND * shipped.size / 7
    )
    worked = _worked_holidays(country, region, weekend, shipped, as_of)
    open_days = Calendar(country, region, shutdowns, weekend, worked)
    found = _shut_days(open_days, shipped, as_of, waiting)
    return Calendar(country, region, shutdowns + spans(found), weekend, worked)


def _worked_holidays(
    country: str, region: str, weekend: tuple[int, ...], shipped: np.ndarray, as_of: date
) -> frozenset[date]:
    """Holidays, by name, on which as much leaves as on other days: they are working days here.

    How many of the names are worked is learned with them (a mixture of two, by expectation and
    maximisation), so that seldom-shipping factories are judged by all their holidays together.
    """
    first = shipped.min().item()
    sent = dict(zip(*np.unique(shipped, return_counts=True), strict=True))
    days = (as_of - first).days + 1
    usual = shipped.size / (days * (7 - len(weekend)) / 7)
    by_name: dict[str, list[date]] = {}
    for day, name in public_holidays(country, region).items():
        by_name.setdefault(name.removesuffix(" (observed)"), []).append(day)
    names = list(by_name)
    seen = [
        [d for d in by_name[name] if first <= d <= as_of and d.weekday() not in weekend]
        for name in names
    ]
    left = np.array([sum(sent.get(np.datetime64(d), 0) for d in days) for days in seen])
    # How much likelier what left is if the day is worked than if it is off (two Poisson laws).
    odds = left * np.log(1 / STRAY) - (1 - STRAY) * usual * np.array([len(d) for d in seen])
    share = 0.1
    for _ in range(20):
        worked = 1 / (1 + np.exp(np.clip(np.log(1 / share - 1) - odds, -50, 50)))
        # As if one holiday off had been seen before: holidays are off until shipments say otherwise.
        share = float(np.clip(worked.sum() / (len(names) + 1), 0.01, 0.99))
    return frozenset(
        day for name, p in zip(names, worked, strict=True) if p > 0.5 for day in by_name[name]
    )


def _shut_days(calendar: Calendar, shipped: np.ndarray, as_of: date, waiting: Waiting) -> set[date]:
    first = shipped.min()
    days = calendar.workdays_in(np.arange(first, np.datetime64(as_of) + 1))
    busy, there = np.isin(days, shipped), waiting(days)
    runs: list[tuple[list[date], float]] = []
    for start, stop in _runs(~busy):
        beside = np.r_[max(0, start - 60) : start, stop : min(stop + 60, days.size)]
        usual = busy[beside].mean() if beside.size else 0.0
        # What counts is when something left: after a long gap less waits for a while.
        could = (
            2 * there[start:stop].mean() / max(there[beside][busy[beside]].mean(), 1)
            if usual
            else 0.0
        )
        chance = (1 - usual) ** ((stop - start) * min(could, 1.0))
        # The run up to today may be an ordinary pause that is not over yet: it is not judged.
        if stop < days.size and chance < WORTH_COMPARING:
            runs.append(([day.item() for day in days[start:stop]], chance))
    found: set[date] = set()
    ahead: set[date] = set()
    for run, chance in reversed(runs):
        if min(chance, _chance_with_other_years(run, chance, runs)) * days.size < CHANCE:
            found.update(run)
            again = _again(run, as_of, days[0].item(), shipped)
            # As it was the last time: the years' places together would be longer than any of them.
            if not again & ahead:
                ahead |= again
    return found | ahead


def _chance_with_other_years(
    run: list[date], chance: float, runs: list[tuple[list[date], float]]
) -> float:
    """The chance of this run and of those that cover half of its place in other years; each of them
    may begin on as many days as the run is long.
    """
    for other, alone in runs:
        years = other[len(other) // 2].year - run[len(run) // 2].year
        if years and len(_place(run, years) & set(other)) >= len(run) / 2:
            chance *= min(alone * len(run), 1.0)
    return chance


def _runs(flags: np.ndarray) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.r_[0, flags.astype(int), 0]))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def _again(run: list[date], as_of: date, first: date, shipped: np.ndarray) -> set[date]:
    """The same place in coming years, unless a later year that was seen has shipped there."""
    sent = set(shipped.tolist())
    expected: set[date] = set()
    for ahead in range(1, as_of.year - run[0].year + YEARS_AHEAD + 1):
        days = _place(run, ahead)
        seen = [d for d in days if first <= d <= as_of]
        if sum(d in sent for d in seen) > 0.25 * len(days):
            return set()
        expected |= {d for d in days if d > as_of}
    return expected


def _place(run: list[date], years: int) -> set[date]:
    """The run's days and those off between them, so many years on: by date about the turn of the year,
    else by week and weekday.
    """
    turn_of_year = any((d.month, d.day) in {(12, 24), (12, 26), (12, 31), (1, 2)} for d in run)
    days = [run[0] + timedelta(days=n) for n in range((run[-1] - run[0]).days + 1)]
    return {_by_date(d, years) if turn_of_year else _by_week(d, years) for d in days}


def _by_date(day: date, years: int) -> date:
    return (
        day + timedelta(days=round(365.25 * years))
        if (day.month, day.day) == (2, 29)
        else (day.replace(year=day.year + years))
    )


def _by_week(day: date, years: int) -> date:
    year, week, weekday = day.isocalendar()
    return date.fromisocalendar(year + years, min(week, 52), weekday)
