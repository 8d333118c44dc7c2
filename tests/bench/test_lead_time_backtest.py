"""Do 80 % windows hold 80 % of the time? Simulated factories played forward, on seeds not tuned on.

Prints a table: share of windows that held, missed early, missed late, and the mean width in calendar
days beside the 28 of the declared 4 to 8 weeks; for new orders and for orders under way.
"""

from datetime import date, timedelta

import pytest

from tests.bench.backtest import Held, play
from tests.bench.simulated_factories import FACTORIES

SEEDS = range(7301, 7304)
AS_OF = [date(2023, 5, 2) + timedelta(days=85 * n) for n in range(8)]
DECLARED_DAYS = 28
# Factories whose history supports a window at least 30 % narrower; the others swing too widely.
NARROW = {
    "steady",
    "seasonal, shut in July and at the year's end",
    "slowing down by half in a year",
    "sparse parts",
    "promises of little worth",
    "big orders take longer",
}


@pytest.fixture(scope="module")
def held() -> dict[str, tuple[Held, Held]]:
    table = {}
    print(f"\n{'':46}{'new orders':^36}{'under way':^36}")
    print(f"{'factory':46}" + f"{'n':>6} {'held':>6} {'early':>6} {'late':>6} {'days':>6}   " * 2)
    for name, factory in FACTORIES.items():
        new, under_way = [], []
        for seed in SEEDS:
            answers = play(factory, seed, AS_OF)
            new += answers[0]
            under_way += answers[1]
        table[name] = Held.of(new), Held.of(under_way)
        cells = "".join(
            f"{h.windows:6} {h.inside:6.1%} {h.early:6.1%} {h.late:6.1%} {h.calendar_days:6.1f}   "
            for h in table[name]
        )
        print(f"{name:46}{cells}", flush=True)
    return table


@pytest.mark.parametrize(
    "name",
    ["steady", "seasonal, shut in July and at the year's end", "slowing down by half in a year"],
)
def test_windows_hold_as_often_as_they_say(held, name):
    """80 % windows of new orders and of those under way hold 76 to 84 % of the time."""
    for kind in held[name]:
        assert 0.76 <= kind.inside <= 0.84


def test_windows_hold_on_the_whole(held):
    """Over all factories, hard ones too, 80 % windows hold 76 to 84 % of the time."""
    for kind in (0, 1):
        counts = [h[kind] for h in held.values()]
        inside = sum(h.inside * h.windows for h in counts) / sum(h.windows for h in counts)
        assert 0.76 <= inside <= 0.84


@pytest.mark.parametrize("name", sorted(NARROW))
def test_windows_are_narrower_than_the_declared_weeks(held, name):
    """Where the history supports it windows are at least 30 % narrower than 4 to 8 weeks."""
    for kind in held[name]:
        assert kind.calendar_days <= 0.7 * DECLARED_DAYS
