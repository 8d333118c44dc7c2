"""The windows of factories that the estimator was not made on, asked for as a shop would: `import_history`,
then `when --as-of`.

Prints a table as `test_lead_time_backtest` does. MILLS picks some by words of their names, SEEDS the seeds.
"""

import csv
import json
import os
from collections import defaultdict
from datetime import date, timedelta
from math import sqrt

import pytest
from django.core.management import call_command

from ordering.history import COLUMNS
from sizing.models import Factory, Family
from tests.bench.backtest import Held
from tests.bench.unseen_factories import MILLS

SEEDS = [int(s) for s in os.environ.get("SEEDS", "41,42").split(",")]
AS_OF = [date(2023, 3, 7) + timedelta(days=71 * n) for n in range(10)]
NEW_FOR, DECLARED_DAYS = 14, 28
CHOSEN = [n for n in MILLS if any(w in n for w in os.environ.get("MILLS", "").split(","))]
pytestmark = pytest.mark.django_db


def mill(code: str) -> None:
    factory = Factory.objects.create(name=f"Mill {code}")
    for letter in "ABN":
        Family.objects.create(
            code=code + letter, name=code + letter, factory=factory, unit="in", weight_unit="lb",
            currency="USD", lead_weeks_min=4, lead_weeks_max=8,
        )  # fmt: skip


def questions(rows: list[tuple], day: date) -> tuple[list[dict], dict[str, tuple[str, date]]]:
    """What is asked on a day, and by id its kind and the day it really shipped."""
    asked, truth = [], {}
    for reference, family, part, quantity, ordered, shipped, _ in rows:
        placed, left = ordered.item(), shipped.item()
        if day < placed <= day + timedelta(days=NEW_FOR):
            asked.append({
                "id": reference, "family": family, "part_number": part, "quantity": int(quantity),
                "order_on": placed.isoformat(),
            })  # fmt: skip
            truth[reference] = ("new", left)
        elif placed <= day < left:
            asked.append({"id": reference, "reference": reference})
            truth[reference] = ("under way", left)
    return asked, truth


def play(code: str, rows: list[tuple], folder) -> dict[tuple[str, date], list[tuple]]:
    """(earliest, latest, shipped) by kind and as-of day, by way of the commands alone."""
    path, ask, said = (folder / name for name in ("past.csv", "ask.jsonl", "said.jsonl"))
    with path.open("w", newline="") as out:
        csv.writer(out).writerows([COLUMNS, *rows])
    mill(code)
    call_command("import_history", str(path), no_publish=True, verbosity=0)
    found = defaultdict(list)
    for day in AS_OF:
        asked, truth = questions(rows, day)
        ask.write_text("".join(json.dumps(line) + "\n" for line in asked))
        call_command("when", requests=str(ask), answers=str(said), as_of=day.isoformat())
        for line in said.read_text().splitlines():
            answer = json.loads(line)
            kind, left = truth[answer["id"]]
            first, last = (date.fromisoformat(answer[k]) for k in ("earliest", "latest"))
            found[kind, day].append((first, last, left))
    return found


@pytest.mark.parametrize("name", CHOSEN)
def test_windows_of_an_unseen_factory(name, tmp_path, capsys):
    """Prints how often the windows held, overall and by as-of day; holds them to a wide bound."""
    by_day = defaultdict(list)
    for number, seed in enumerate(SEEDS):
        code = f"U{number}"
        for key, answers in play(code, MILLS[name].rows(code, seed), tmp_path).items():
            by_day[key] += answers
    table = {}
    with capsys.disabled():
        print(f"\n{name:46}", end="")
        for kind in ("new", "under way"):
            table[kind] = held = Held.of(
                [a for key, of in by_day.items() if key[0] == kind for a in of]
            )
            print(f"{kind:>10} {held.windows:5} {held.inside:6.1%} {held.early:6.1%} {held.late:6.1%} "
                  f"{held.calendar_days:5.1f}", end="")  # fmt: skip
        if "BY_DAY" in os.environ:
            for kind in ("new", "under way"):
                for day in AS_OF:
                    if by_day.get((kind, day)):
                        held = Held.of(by_day[kind, day])
                        print(
                            f"\n   {kind:10} {day} {held.windows:4} {held.inside:5.0%} {held.early:5.0%} {held.late:5.0%} {held.calendar_days:5.1f}",
                            end="",
                        )
    for held in table.values():
        # A mill of a few orders gives a few windows: two standard errors of four in five beside the bound.
        noise = 2 * sqrt(0.8 * 0.2 / held.windows)
        assert 0.68 - noise <= held.inside <= 0.92 + noise
