"""Every list and search of a small and a larger shop beside a bare view: the same page may not grow with the shop.

BENCH_ORDERS="10000 1000000" sets the sizes, BENCH_FOLDER keeps the filled databases for the next run.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

SIZES = [int(size) for size in os.environ.get("BENCH_ORDERS", "640 6400").split()]
# Requests of each page; their 95th percentile needs a hundred.
REQUESTS = os.environ.get("BENCH_REQUESTS", "40")


def run(module: str, *words: str, database: Path) -> str:
    told = {"DATABASE_URL": f"sqlite:///{database}", "VAR_DIR": str(database.parent)}
    done = subprocess.run(
        [sys.executable, "-m", f"tests.bench.{module}", *words], env=os.environ | told, check=True,
        capture_output=True, text=True,
    )  # fmt: skip
    return done.stdout


def measured(size: int, folder: Path) -> dict[str, dict]:
    """{page: its figures}; the database is filled first unless it is there."""
    database = folder / f"shop-{size}.sqlite3"
    if not database.exists():
        run("big_shop", str(size), database=database)
    lines = map(json.loads, run("pages", REQUESTS, database=database).splitlines())
    return {line["page"]: line for line in lines}


def test_pages_stay_flat(tmp_path):
    """Beside the floor of its own run no page takes more than half as long again in the larger shop."""
    folder = Path(os.environ.get("BENCH_FOLDER", tmp_path))
    folder.mkdir(exist_ok=True)
    small, large = (measured(size, folder) for size in (SIZES[0], SIZES[-1]))
    print(f"\n{'p50 / floor, p95 / floor':<28}{SIZES[0]:>16}{SIZES[-1]:>16}  growth  queries")
    grown = {}
    for page, here in large.items():
        growth = here["ratio p50"] / small[page]["ratio p50"]
        cells = [f"{of[page]['ratio p50']:.1f}, {of[page]['ratio']:.1f}" for of in (small, large)]
        print(f"{page:<28}{cells[0]:>16}{cells[1]:>16}{growth:>8.2f}{here['queries']:>9}")
        if growth > 1.5:
            grown[page] = round(growth, 2)
    assert grown == {}
