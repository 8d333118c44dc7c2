"""How import, publishing and asking grow with the number of past orders, beside a floor of the same run.

Default sizes are moderate; BENCH_ORDERS=10000,100000,1000000 runs others. Run with --run-bench -s.
"""

import csv
import json
import os
import subprocess
import sys
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from time import perf_counter, process_time

import numpy as np
import pytest
from django.utils import timezone

from ordering.answers import When
from ordering.history import read_history
from ordering.models import PastOrder
from ordering.past import store
from sizing.models import Factory, Family

SIZES = [int(n) for n in os.environ.get("BENCH_ORDERS", "10000,50000").split(",")]
FACTORIES, FAMILIES, PARTS, DAYS = 10, 5, 60, 1000
HEAD = ("reference", "family", "part_number", "quantity", "ordered_on", "shipped_on", "promised_on")
pytestmark = pytest.mark.django_db


def families() -> dict[str, int]:
    found = {}
    for f in range(FACTORIES):
        factory = Factory.objects.create(name=f"Mill {f}")
        for k in range(FAMILIES):
            family = Family.objects.create(
                code=f"M{f}K{k}", name=f"M{f}K{k}", factory=factory, unit="in", weight_unit="lb",
                currency="USD", lead_weeks_min=4, lead_weeks_max=8,
            )  # fmt: skip
            found[family.code] = family.pk
    return found


def write_past(path: Path, count: int, codes: list[str]) -> None:
    rng = np.random.default_rng(count)
    today = np.datetime64(timezone.localdate())
    ordered = np.sort(today - rng.integers(0, DAYS, count))
    shipped = ordered + np.rint(38 * np.exp(rng.normal(0, 0.12, count))).astype(int)
    family, part = rng.integers(0, len(codes), count), rng.zipf(1.3, count) % PARTS
    with path.open("w", newline="") as out:
        rows = csv.writer(out)
        rows.writerow(HEAD)
        for i in range(count):
            left = shipped[i] if shipped[i] <= today else ""
            code = codes[family[i]]
            rows.writerow(
                (f"K-{i}", code, f"{code}-{part[i]}", 2, ordered[i], left, ordered[i] + 35)
            )


def bare_import(path: Path, keys: dict[str, int]) -> None:
    """The floor: csv.reader and bulk_create, nothing checked, no reference looked up."""
    with path.open(newline="") as lines:
        rows = csv.reader(lines)
        next(rows)
        while batch := list(islice(rows, 5000)):
            PastOrder.objects.bulk_create(
                PastOrder(
                    reference=r[0], family_id=keys[r[1]], part_number=r[2], quantity=r[3],
                    ordered_on=r[4], shipped_on=r[5] or None, promised_on=r[6],
                )
                for r in batch
            )  # fmt: skip


def timed(work, *args, clock=perf_counter) -> float:
    start = clock()
    work(*args)
    return clock() - start


def import_file(path: Path, keys: dict[str, int]) -> None:
    with path.open(encoding="utf-8-sig", newline="") as lines:
        store(read_history(lines, path.name, keys))


def ask_times() -> tuple[float, float, float, float]:
    """CPU seconds: the first question of a factory, then means over up to 200 open orders: asked for
    the first time, asked again, and the bare indexed query.
    """
    when = When(timezone.localdate())
    late = PastOrder.objects.filter(shipped_on=None, family__code="M0K0")
    references = list(late.order_by("id").values_list("reference", flat=True)[:200])

    def bare(reference: str) -> None:
        PastOrder.objects.select_related("family__factory").get(reference=reference)

    def mean(work) -> float:
        return sum(timed(work, r, clock=process_time) for r in references) / len(references)

    first = timed(when.of_reference, references[0], clock=process_time)
    return first, mean(when.of_reference), mean(when.of_reference), mean(bare)


@dataclass(frozen=True)
class Run:
    """One command in a process of its own: seconds on the clock and of the processor, peak memory in MiB."""

    clock: float
    busy: float
    peak: int


# The peak is the process's own: what getrusage says of a child begins with its parent's.
AND_ITS_PEAK = """
import sys, time
from django.core.management import execute_from_command_line
execute_from_command_line(sys.argv)
peak = next(line for line in open("/proc/self/status") if line.startswith("VmHWM"))
print(time.process_time(), int(peak.split()[1]) // 1024)
"""


def run(*words: str, database: Path) -> Run:
    told = {"DATABASE_URL": f"sqlite:///{database}", "DJANGO_SETTINGS_MODULE": "config.settings"}
    start = perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", AND_ITS_PEAK, *words], env=os.environ | told, check=True,
        capture_output=True, text=True,
    )  # fmt: skip
    busy, peak = done.stdout.splitlines()[-1].split()
    return Run(perf_counter() - start, float(busy), int(peak))


def commands(path: Path, folder: Path) -> dict[str, object]:
    """The commands as a shop runs them, each in a fresh process on a database of their own."""
    database, question = folder / "shop.sqlite3", folder / "ask.jsonl"
    late = PastOrder.objects.filter(shipped_on=None, family__code="M0K0").first()
    question.write_text(json.dumps({"id": 1, "reference": late.reference}) + "\n")
    bare = (
        "shell", "-v0", "-c", "from ordering.models import PastOrder; "
        f"PastOrder.objects.select_related('family__factory').get(reference='{late.reference}')",
    )  # fmt: skip
    ask = ("when", "--requests", str(question), "--answers", str(folder / "said.jsonl"),
           "--as-of", timezone.localdate().isoformat())  # fmt: skip
    run("migrate", database=database)
    run("shell", "-v0", "-c", "from tests.bench.test_history_scale import families; families()",
        database=database)  # fmt: skip
    nothing = run("shell", "-v0", "-c", "import ordering.models", database=database)
    stored = run("import_history", "--no-publish", str(path), database=database)
    unfitted = run(*ask, database=database)
    published = run("publish_windows", database=database)
    fitted, query = run(*ask, database=database), run(*bare, database=database)
    return {
        "import peak MiB": stored.peak, "publish s": round(published.clock, 1),
        "of it CPU s": round(published.busy, 1), "publish peak MiB": published.peak,
        "idle process peak MiB": nothing.peak, "bare query, fresh process CPU s": round(query.busy, 2),
        "when, fresh process CPU s": round(fitted.busy, 2),
        "the same without a stored fit": round(unfitted.busy, 2),
    }  # fmt: skip


@pytest.mark.parametrize("count", SIZES)
def test_growth(count, tmp_path):
    """Import costs a small multiple of bare reading and inserting; publishing takes minutes at most; an
    open order is answered in at most three times the bare query.
    """
    keys = families()
    path = tmp_path / "past.csv"
    write_past(path, count, list(keys))
    floor = timed(bare_import, path, keys, clock=process_time)
    PastOrder.objects.all().delete()
    fresh = timed(import_file, path, keys, clock=process_time)
    again = timed(import_file, path, keys, clock=process_time)
    assert PastOrder.objects.count() == count
    first, later, again_asked, bare = ask_times()
    told = commands(path, tmp_path)
    print(
        "\n" + json.dumps({
            "orders": count, "import CPU s": round(fresh, 2), "x bare": round(fresh / floor, 2),
            "again x bare": round(again / floor, 2),
            "first answer CPU s": round(first, 2),
            "later ms": round(later * 1e3, 2),
            "x bare query": round(later / bare, 1),
            "asked again x bare query": round(again_asked / bare, 1),
        } | told)
    )  # fmt: skip
    assert fresh < 4 * floor
    assert later < 3 * bare
    assert told["publish s"] < 600
