"""What a factory's own shipments say of its calendar: days it ships on, holidays it works, weeks it is shut.

Only the days up to the as-of date are read. A shutdown is a run of working days without a
shipment too long to be chance (1 in 5,000 at the factory's usual share of days with a shipment);
one found comes back in later years at its place: by date where it touches the turn of the year,
else by ISO week and weekday.
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from sizing.workdays import SATURDAY_SUNDAY, Calendar, Days, Span, public_holidays, spans

CHANCE = 2e-4
# A weekend day with at least this share of an even seventh of all shipments is a working day.
WORKED_WEEKEND = 0.25
WORKED_HOLIDAY = 0.30
YEARS_AHEAD = 3


def learned_calendar(
    country: str, region: str, shutdowns: tuple[Span, ...], shipped: Days, as_of: date
) -> Calendar:
    """The declared calendar corrected by the ship dates up to `as_of`; none changes nothing."""
    shipped = shipped[shipped <= np.datetime64(as_of)]
    if shipped.size < 20:
        return Calendar(country, region, shutdowns)
    weekday = np.bincount((shipped.astype(int) + 3) % 7, minlength=7)
    weekend = tuple(
        day for day in SATURDAY_SUNDAY if weekday[day] < WORKED_WEEKEND * shipped.size / 7
    )
    worked = _worked_holidays(country, region, weekend, shipped, as_of)
    open_days = Calendar(country, region, shutdowns, weekend, worked)
    found = _shut_days(open_days, shipped, as_of)
    return Calendar(country, region, shutdowns + spans(found), weekend, worked)


def _worked_holidays(
    country: str, region: str, weekend: tuple[int, ...], shipped: Days, as_of: date
) -> frozenset[date]:
    """Holidays, by name, on which as much leaves as on other days: they are working days here."""
    first = shipped.min().item()
    sent = dict(zip(*np.unique(shipped, return_counts=True), strict=True))
    days = (as_of - first).days + 1
    usual = shipped.size / (days * (7 - len(weekend)) / 7)
    by_name: dict[str, list[date]] = {}
    for day, name in public_holidays(country, region).items():
        by_name.setdefault(name.removesuffix(" (observed)"), []).append(day)
    seen = {
        name: [d for d in dates if first <= d <= as_of and d.weekday() not in weekend]
        for name, dates in by_name.items()
    }
    left = {name: sum(sent.get(np.datetime64(d), 0) for d in seen[name]) for name in by_name}
    all_days = sum(map(len, seen.values()))
    all_worked = sum(left.values()) >= max(2.0, WORKED_HOLIDAY * usual * all_days)

    def is_worked(name: str) -> bool:
        expected = usual * len(seen[name])
        # Too few shipments to judge one holiday alone: the holidays together decide.
        return left[name] >= max(2.0, WORKED_HOLIDAY * expected) if expected >= 5 else all_worked

    return frozenset(d for name in by_name if is_worked(name) for d in by_name[name])


def _shut_days(calendar: Calendar, shipped: Days, as_of: date) -> set[date]:
    first = shipped.min()
    days = calendar.workdays_in(np.arange(first, np.datetime64(as_of) + 1))
    busy = np.isin(days, shipped)
    found: set[date] = set()
    for start, stop in _runs(~busy):
        around = np.r_[busy[max(0, start - 60) : start], busy[stop : stop + 60]]
        share = around.mean() if around.size else 0.0
        # The run up to today may be an ordinary pause that is not over yet: it is not judged.
        if stop < days.size and share and (1 - share) ** (stop - start) < CHANCE:
            run = [day.item() for day in days[start:stop]]
            found.update(run)
            found.update(_again(run, as_of, days[0].item(), shipped))
    return found


def _runs(flags: np.ndarray) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.r_[0, flags.astype(int), 0]))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def _again(run: list[date], as_of: date, first: date, shipped: Days) -> set[date]:
    """The same place in coming years, unless a later year that was seen has shipped there."""
    sent = set(shipped.tolist())
    turn_of_year = any((d.month, d.day) in {(12, 24), (12, 26), (12, 31), (1, 2)} for d in run)
    expected: set[date] = set()
    for ahead in range(1, as_of.year - run[0].year + YEARS_AHEAD + 1):
        days = {_by_date(d, ahead) if turn_of_year else _by_week(d, ahead) for d in run}
        seen = [d for d in days if first <= d <= as_of]
        if sum(d in sent for d in seen) > 0.25 * len(days):
            return set()
        expected |= {d for d in days if d > as_of}
    return expected


def _by_date(day: date, years: int) -> date:
    return (
        day + timedelta(days=round(365.25 * years))
        if (day.month, day.day) == (2, 29)
        else (day.replace(year=day.year + years))
    )


def _by_week(day: date, years: int) -> date:
    year, week, weekday = day.isocalendar()
    return date.fromisocalendar(year + years, min(week, 52), weekday)
