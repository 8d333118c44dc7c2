"""Feeds one target: python -m tests.faults.fuzz.run TARGET INPUTS [SEED]; a finding ends it with status 77.

Prints how many inputs there were and the longest that one took, in seconds of this process alone, so
that a busy machine does not count. A finding is written to var/fuzz, to be run again by its path.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import atheris

with atheris.instrument_imports(
    include=["sizing", "quotes.messages", "quotes.schedule"], enable_loader_override=False
):
    from tests.faults.fuzz.targets import TARGETS

LONGEST_SECONDS = 1.0
# A hang that never comes back is ended by the fuzzer itself, by the clock.
HANGS_AFTER = 30
FOUND = Path("var/fuzz")


class Counted:
    """One target, its inputs counted and timed."""

    def __init__(self, name: str, planned: int) -> None:
        self.name, self.planned, self.inputs, self.longest = name, planned, 0, 0.0
        self.target = TARGETS[name]

    def __call__(self, data: bytes) -> None:
        began = time.process_time()
        self.target(atheris.FuzzedDataProvider(data))
        took = time.process_time() - began
        self.inputs += 1
        self.longest = max(self.longest, took)
        assert took < LONGEST_SECONDS, f"one input took {took:.2f} s"
        # Said here, because the fuzzer ends the process without a word of Python's.
        if self.inputs == self.planned:
            self.say()

    def say(self) -> None:
        print(f"{self.name}: {self.inputs:,} inputs, the longest {self.longest:.3f} s", flush=True)


def main(name: str, inputs: str, seed: str = "1") -> None:
    FOUND.mkdir(parents=True, exist_ok=True)
    one_input = Path(inputs).is_file()
    counted = Counted(name, 1 if one_input else int(inputs))
    atheris.Setup(
        [
            sys.argv[0],
            inputs if one_input else f"-runs={inputs}",
            f"-seed={seed}",
            f"-timeout={HANGS_AFTER}",
            "-rss_limit_mb=1500",
            "-max_len=512",
            "-len_control=0",
            "-verbosity=0",
            f"-artifact_prefix={FOUND}/{name}-",
        ],
        counted,
    )
    atheris.Fuzz()


if __name__ == "__main__":
    if len(sys.argv) < 3 or sys.argv[1] not in TARGETS:
        sys.exit(f"Say which of {', '.join(TARGETS)}, how many inputs, and if you like a seed.")
    main(*sys.argv[1:4])
