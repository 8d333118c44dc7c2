"""Parsers and readers fed with random inputs, steered by coverage, from a fixed seed: a short run of each.

The long one is `make fuzz`.
"""

import json
import re
import subprocess
import sys

import pytest

from sizing import lengths
from sizing.lengths import Unit
from tests.faults.fuzz import run, targets

# As many as take a few seconds each.
INPUTS = {
    "length": 15_000,
    "weight": 15_000,
    "message": 300,
    "json_line": 50_000,
    "table_cells": 100,
    "table_bytes": 300,
    "schedule_cells": 100,
    "schedule_bytes": 300,
}


def test_every_target_is_run():
    """No target is left out of the short run."""
    assert set(INPUTS) == set(targets.TARGETS)


def test_declared_errors_only():
    """Whatever comes in, the answer is a value or the declared error, within a second."""
    command = [sys.executable, "-m", "tests.faults.fuzz.each"]
    command += [f"{target}:{inputs}" for target, inputs in INPUTS.items()]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-3000:]
    fed = json.loads(done.stdout)
    assert fed.keys() == INPUTS.keys()
    for target, (status, words) in fed.items():
        assert status == 0, words[-3000:]
        said = re.search(r"([\d,]+) inputs, the longest ([\d.]+) s", words)
        assert int(said[1].replace(",", "")) == INPUTS[target]
        assert float(said[2]) < run.LONGEST_SECONDS


def test_a_crash_is_found(monkeypatch):
    """An error that was not declared, and a length that is none, are findings."""
    monkeypatch.setattr(lengths, "parse_length", lambda text, unit: 1 // 0)
    with pytest.raises(ZeroDivisionError):
        targets.check_length("17 3/8", Unit.INCH)
    monkeypatch.setattr(lengths, "parse_length", lambda text, unit: -1)
    with pytest.raises(AssertionError):
        targets.check_length("17 3/8", Unit.INCH)


def test_a_hang_is_found(monkeypatch):
    """An input over a second is a finding."""
    spent = iter([0.0, 1.5])
    monkeypatch.setattr(run.time, "process_time", lambda: next(spent))
    with pytest.raises(AssertionError, match=r"1\.50 s"):
        run.Counted("length", 1)(b"17 3/8")
