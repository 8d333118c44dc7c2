"""Several workers at one queue of mails: each mail goes once, and how much faster more workers are.

Run: .ci/with_postgres .venv/bin/python -m pytest tests/bench/test_many_workers.py --run-bench -q -s
BENCH_MAILS sets how many, BENCH_WORKERS="1 2 4" how many workers. The mail server, on loopback, takes its
20 ms over each mail, as one across a network does.
"""

from __future__ import annotations

import asyncio
import json
import os
import socket
import subprocess
import sys
import time
from collections import Counter

import pytest
from aiosmtpd.controller import Controller

MAILS = int(os.environ.get("BENCH_MAILS", "400"))
WORKERS = [int(n) for n in os.environ.get("BENCH_WORKERS", "1 2 4").split()]
WRITE = """
import sys
import django; django.setup()
from django.db import transaction
from quotes.desk.posting import post
with transaction.atomic():
    for n in range(int(sys.argv[2])):
        post(cause=f"bench {sys.argv[1]} {n}", to=f"{n}@customer.example", subject="Bench", body="Words.", by="bench")
"""


class Post:
    """Counts what arrives by its Message-ID, and when."""

    def __init__(self) -> None:
        self.arrived: Counter[str] = Counter()
        self.moments: list[float] = []

    async def handle_DATA(self, server, session, envelope) -> str:
        await asyncio.sleep(0.02)
        head = envelope.content.split(b"\r\n\r\n")[0].decode()
        self.arrived[next(line for line in head.splitlines() if line.startswith("Message-ID"))] += 1
        self.moments.append(time.monotonic())
        return "250 kept"


@pytest.fixture
def desk(tmp_path):
    """(run a program in this shop's surroundings, its mail server's box)."""
    if not os.environ.get("DATABASE_URL", "").startswith("postgres"):
        pytest.skip("several workers are measured on PostgreSQL: .ci/with_postgres starts one")
    box = Post()
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    server = Controller(box, hostname="127.0.0.1", port=port)
    server.start()
    told = os.environ | {
        "VAR_DIR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "config.settings",
        "EMAIL_HOST": "127.0.0.1", "EMAIL_PORT": str(port),
    }  # fmt: skip
    yield lambda *words: subprocess.Popen([sys.executable, *words], env=told), box
    server.stop()


def test_queue_drained_once(desk):
    """However many workers there are, each mail arrives, and once."""
    run, box = desk
    assert run("manage.py", "migrate", "--verbosity", "0").wait() == 0
    found = []
    for workers in WORKERS:
        box.arrived.clear()
        box.moments.clear()
        assert run("-c", WRITE, str(workers), str(MAILS)).wait() == 0
        them = [run("manage.py", "work", "--once") for _ in range(workers)]
        assert [one.wait(300) for one in them] == [0] * workers
        took = box.moments[-1] - box.moments[0]
        found.append({
            "workers": workers, "mails": len(box.arrived), "doubled": len(box.moments) - len(box.arrived),
            "a second": round((len(box.moments) - 1) / took, 1),
        })  # fmt: skip
        assert len(box.arrived) == len(box.moments) == MAILS
    for row in found:
        print(
            "\n" + json.dumps(row | {"times": round(row["a second"] / found[0]["a second"], 2)}),
            end="",
        )
    print()
