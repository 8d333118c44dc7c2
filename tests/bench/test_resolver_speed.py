"""The resolver's speed as ratios: bulk beside scipy's cKDTree, one opening from a warm process.

The floor of the bulk figure is cKDTree's plain nearest-row query of the same fully measured openings.
"""

from __future__ import annotations

from time import perf_counter

import numpy as np
from scipy.spatial import cKDTree

from sizing.resolver import Arrays, compile_table, read_opening, resolve, resolve_arrays
from tests.bench.callers import (
    MEASURES,
    World,
    draw_callers,
    inches,
    irregular_table,
    regular_table,
)
from tests.sizing.desk import family

OPENINGS = 100_000


def best_of(times: int, work) -> float:
    found = []
    for _ in range(times):
        start = perf_counter()
        work()
        found.append(perf_counter() - start)
    return min(found)


def test_bulk_beside_nearest_row():
    """100,000 openings in one call, fully and partly measured: at most 100 times cKDTree, 20 the aim."""
    for name, table in (("regular", regular_table()), ("irregular", irregular_table())):
        callers = draw_callers(table, World(), OPENINGS // 5, seed=3)
        full = np.array([[inches(c.readings[m]) for m in MEASURES] for c in callers] * 5)
        said = np.array([[m in c.said for m in MEASURES] for c in callers] * 5)
        partly = np.where(said, full, -1)
        tree = cKDTree(np.array(table.rows, dtype=float)[:, [0, 0, 1, 2]])
        queries = full.astype(float)
        compiled = compile_table(table)
        floor = best_of(5, lambda tree=tree, queries=queries: tree.query(queries))
        print(f"\n{name}: cKDTree {floor * 1e3:.1f} ms for {len(full)} openings")
        for words, lengths in (("all four measures", full), ("as callers say them", partly)):
            batch = Arrays.of_lengths(lengths)
            took = best_of(3, lambda c=compiled, b=batch: resolve_arrays(c, b))
            print(f"  {words:20} {took * 1e3:6.0f} ms  ratio {took / floor:5.1f}")
            assert took <= 100 * floor


def test_one_opening_from_a_warm_process():
    """One opening typed by a clerk, from text to explained answer, in under 2 ms."""
    compiled = family("liner")
    said = {"upper_glass": "22 3/4", "opening": "4' 6 7/8\"", "long_point": "55 1/2"}

    def once():
        resolve(compiled, [read_opening(compiled.table, said, finish="ash")])

    for _ in range(20):
        once()
    times = []
    for _ in range(300):
        start = perf_counter()
        once()
        times.append(perf_counter() - start)
    median = float(np.median(times))
    print(
        f"\none opening: median {median * 1e3:.2f} ms, 95 % {np.quantile(times, 0.95) * 1e3:.2f} ms"
    )
    assert median < 2e-3
