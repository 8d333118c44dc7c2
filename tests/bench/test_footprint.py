"""How long the web process takes to start, what it holds in memory and what the environment weighs.

Each beside a floor of the same run: a Python that only imports Django.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

# Ends with seconds of the processor and the process's own memory in MiB: resident, and its fair share of what is shared.
ITSELF = """
import time
def kept(name):
    lines = open("/proc/self/smaps_rollup").read().splitlines()
    return next(int(line.split()[1]) // 1024 for line in lines if line.startswith(name))
print(round(time.process_time(), 2), kept("Rss:"), kept("Pss:"))
"""
BARE = "import django.core.handlers.wsgi, django.db.models, django.template, django.forms"
LOADED = "from config.wsgi import application"
ASKED = """
import os, django
from config.wsgi import application
from django.core.management import call_command
call_command("migrate", verbosity=0)
from django.test import Client
for _ in range(50):
    Client(HTTP_HOST="127.0.0.1").get("/sign-in/")
"""


def run(code: str, folder: Path) -> list[float]:
    told = {
        "DJANGO_SETTINGS_MODULE": "config.settings", "VAR_DIR": str(folder),
        "DATABASE_URL": f"sqlite:///{folder / 'desk.sqlite3'}",
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", code + ITSELF], env=os.environ | told, check=True,
        capture_output=True, text=True,
    )  # fmt: skip
    return [float(word) for word in done.stdout.split()[-3:]]


def mebibytes(folder: Path) -> int:
    return sum(f.stat().st_size for f in folder.rglob("*") if f.is_file()) >> 20


def test_footprint(tmp_path):
    """Ready to answer within ten times what importing Django takes, in under 200 MiB."""
    packages = next(Path(path) for path in sys.path if path.endswith("site-packages"))
    sizes = {
        f.name: mebibytes(f)
        for f in packages.iterdir()
        if f.is_dir() and not f.name.endswith(".dist-info")
    }
    floor, loaded, asked = (run(code, tmp_path) for code in (BARE, LOADED, ASKED))
    largest = sorted(sizes, key=sizes.get, reverse=True)[:12]
    print("\n" + json.dumps({
        "Django alone, CPU s, RSS, PSS": floor, "loaded": loaded, "after 50 pages": asked,
        "environment MiB": mebibytes(packages), "largest": {name: sizes[name] for name in largest},
    }))  # fmt: skip
    assert loaded[0] < 10 * floor[0]
    assert asked[1] < 200
