"""Who waits to write gets their turn while another process writes one thing after the other, as the worker does."""

import os
import subprocess
import sys

import pytest

from tests.faults.fresh import ENGINE, ROOT, told
from tests.faults.test_kept_from_others import others_may

pytestmark = pytest.mark.skipif(ENGINE != "sqlite", reason="PostgreSQL lets them in by itself")

BEGINS = "import json, sys, time, django; django.setup()\n"
BEGINS += "from django.db import transaction; from quotes.models import Shop\n"
BEGINS += "from quotes.triples import count_rows\n"
# 30 ms of work each time, the database held, and not a moment between.
WITHOUT_A_PAUSE = """
while True:
    with transaction.atomic():
        Shop.objects.update(name="busy")
        time.sleep(0.03)
        print("wrote", flush=True)
"""
# Ten writes: forms, some of a single statement, and the day's count of rows; how long the longest waited, in seconds.
NOW_AND_THEN = """
waits = []
for at in range(10):
    began = time.monotonic()
    if at % 3 == 1:
        Shop.objects.update(name="clerk")
    elif at % 3 == 2:
        count_rows()
    else:
        with transaction.atomic():
            Shop.objects.update(name="clerk")
    waits.append(time.monotonic() - began)
    time.sleep(0.05)
print(json.dumps(max(waits)))
"""


def test_a_clerk_beside_a_busy_worker(fresh, tmp_path):
    """Waited for 9 s, and would have been refused after 20, while another wrote a few dozen short transactions a second."""
    database = fresh(migrated=True)
    env = {"DATABASE_URL": database, "DJANGO_SETTINGS_MODULE": "config.settings"}
    with subprocess.Popen(
        [sys.executable, "-c", BEGINS + WITHOUT_A_PAUSE],
        cwd=ROOT, env={**os.environ, **env}, stdout=subprocess.PIPE,
    ) as worker:  # fmt: skip
        try:
            worker.stdout.readline()
            assert told(database, "-c", BEGINS + NOW_AND_THEN) < 1.5
        finally:
            worker.kill()
    assert not others_may(tmp_path / "desk.sqlite3-turn") & ~others_may(tmp_path / "desk.sqlite3")
