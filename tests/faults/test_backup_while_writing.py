"""Copies taken while two clerks write without a pause: each is one moment, whole and sound."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.fresh import fresh_database

ROOT = Path(__file__).resolve().parents[2]
COPIES = 3
COUNT = "import django; django.setup(); from ordering.models import Order; print(*Order.objects.values_list('pk', flat=True))"


def run(database: str, *arguments: str) -> subprocess.CompletedProcess:
    env = {**os.environ, "DATABASE_URL": database, "DJANGO_SETTINGS_MODULE": "config.settings"}
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, env=env, capture_output=True, text=True,
        check=False, timeout=120,
    )  # fmt: skip


@pytest.mark.parametrize("engine", ["sqlite", "postgres"])
def test_copies_of_one_moment(engine, tmp_path):
    """What was acknowledged before a copy began is in it, what began after it isn't; nothing is halved."""
    with fresh_database(engine, tmp_path, "desk") as database:
        wanted = ("-m", "tests.faults.writers", str(tmp_path), "10", "2", str(COPIES))
        clerks = run(database, *wanted)
    assert clerks.returncode == 0, clerks.stderr
    told = json.loads(clerks.stdout.splitlines()[-1])
    for at, (began, ended) in enumerate(told["copies"]):
        with fresh_database(engine, tmp_path, f"restored_{at}") as copy:
            done = run(copy, "manage.py", "restore", str(tmp_path / f"copy-{at}"))
            assert (done.returncode, done.stderr) == (0, ""), done.stdout
            assert "Everything agrees." in done.stdout
            held = {int(pk) for pk in run(copy, "-c", COUNT).stdout.split()}
        before = {pk for pk, _, acknowledged in told["orders"] if acknowledged < began}
        after = {pk for pk, start, _ in told["orders"] if start > ended}
        print(
            f"{engine}, copy {at}: {len(held)} of {len(told['orders'])} orders, {len(before - held)} lost"
        )
        assert (before - held, after & held) == (set(), set())
    # Clerks went on while copies were made, or this has shown nothing.
    first, last = told["copies"][0][0], told["copies"][-1][1]
    assert any(first < acknowledged < last for _, _, acknowledged in told["orders"])
