"""Fifty clerks typing against gunicorn as `make serve` runs it: each waits for its answer, thinks, types on.

BENCH_PROCESSES="1 2 4" adds web processes; DATABASE_URL of a PostgreSQL makes them share that one. Load is on
loopback only and ends by itself.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from urllib.parse import urlencode

import numpy as np
import pytest

from tests.quotes.counter_page import page

CLERKS, SECONDS = 50, float(os.environ.get("BENCH_SECONDS", "15"))
# Between two answers a clerk listens and types a number.
THINK = (1.0, 3.0)
PROCESSES = [int(n) for n in os.environ.get("BENCH_PROCESSES", "1").split()]
SIGN_IN = """
import django; django.setup()
from django.contrib.auth.models import User
from django.test import Client
client = Client(HTTP_HOST="127.0.0.1")
client.force_login(User.objects.get(username="counter"), "django.contrib.auth.backends.ModelBackend")
from ordering.models import Order
print(client.cookies["sessionid"].value, Order.objects.latest("pk").pk)
"""
SECRET = "b" * 32


@contextmanager
def served(folder, processes: int):
    """(port, session, an order's key) of a server of the demo's shop."""
    told = os.environ | {
        "DATABASE_URL": os.environ.get("DATABASE_URL") or f"sqlite:///{folder / 'desk.sqlite3'}",
        "VAR_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "config.settings",
    }  # fmt: skip
    quiet = {"env": told, "check": True, "capture_output": True, "text": True}
    subprocess.run([sys.executable, "manage.py", "demo"], **quiet)
    session, key = subprocess.run([sys.executable, "-c", SIGN_IN], **quiet).stdout.split()[-2:]
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "tests.bench.bare_wsgi", "--bind", f"127.0.0.1:{port}",
         "--threads", "4", "--workers", str(processes), "--log-level", "warning"],
        env=told, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        for _ in range(300):
            with socket.socket() as trial:
                if trial.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        yield port, session, key
    finally:
        server.terminate()
        server.wait(30)


def ask(port: int, session: str, key: str, live: bool, draw: random.Random) -> float:
    """Milliseconds of one answer. Raises where it is none."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    head = {"Cookie": f"sessionid={session}; csrftoken={SECRET}", "X-CSRFToken": SECRET}
    start = time.perf_counter()
    if live:
        said = {"m-upper_glass": f"{draw.randrange(14, 40)} {draw.randrange(1, 8)}/8",
                "m-opening": f"{draw.randrange(36, 80)} 7/8", "m-sash_weight": "10"}  # fmt: skip
        head |= {"Content-Type": "application/x-www-form-urlencoded", "HX-Request": "true"}
        connection.request("POST", "/counter/answer/?o=0", urlencode(page(said), doseq=True), head)
    else:
        connection.request("GET", f"/bare/{key}/", headers=head)
    response = connection.getresponse()
    body = response.read()
    connection.close()
    assert response.status == 200, (response.status, body[:200])
    return 1e3 * (time.perf_counter() - start)


def load(clerks: int, think: tuple[float, float], *where: object) -> tuple[np.ndarray, list, float]:
    """(milliseconds of each answer, what failed, answers a second) of so many clerks at once."""
    took, failed, until = [], [], time.monotonic() + SECONDS

    def clerk(n: int) -> None:
        draw = random.Random(n)
        time.sleep(draw.uniform(0, think[1]))
        while time.monotonic() < until:
            try:
                took.append(ask(*where, draw))
            except Exception as problem:
                failed.append(repr(problem))
            time.sleep(draw.uniform(*think))

    threads = [threading.Thread(target=clerk, args=[n]) for n in range(clerks)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return np.array(took), failed, len(took) / SECONDS


@pytest.mark.parametrize("processes", PROCESSES)
def test_fifty_clerks_typing(tmp_path, processes):
    """No error; the slowest hundredth below five medians; as many answers as a third of bare views."""
    with served(tmp_path, processes) as where:
        load(4, (0, 0), *where, True)
        took, failed, _ = load(CLERKS, THINK, *where, True)
        # As fast as it goes, one after the other kind: eight at once keep every thread busy.
        _, not_live, live = load(8, (0, 0), *where, True)
        _, not_bare, bare = load(8, (0, 0), *where, False)
    p50, p99 = np.percentile(took, [50, 99])
    print("\n" + json.dumps({
        "processes": processes, "answers": len(took), "errors": len(failed + not_live + not_bare),
        "p50 ms": round(p50, 1), "p99 ms": round(p99, 1), "p99 / p50": round(p99 / p50, 1),
        "live a second": round(live, 1), "bare a second": round(bare, 1),
        "share": round(live / bare, 2),
    }))  # fmt: skip
    assert failed + not_live + not_bare == []
    assert p99 < 5 * p50
    assert live > bare / 3
