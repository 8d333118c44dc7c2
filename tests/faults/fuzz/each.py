"""Feeds several targets, each in a fork of one process: python -m tests.faults.fuzz.each TARGET:INPUTS …

What is fuzzed is instrumented while it is loaded, which takes longer than a short run. Prints as JSON, by
target, its exit status and what it said.
"""

import json
import os
import sys
import tempfile

from tests.faults.fuzz import run


def fed(target: str, inputs: str) -> tuple[int, str]:
    """The fuzzer ends its process by itself."""
    with tempfile.TemporaryFile("w+") as said:
        process = os.fork()
        if process == 0:
            os.dup2(said.fileno(), 1)
            os.dup2(said.fileno(), 2)
            try:
                run.main(target, inputs)
            finally:
                os._exit(70)
        _, how = os.waitpid(process, 0)
        said.seek(0)
        return os.waitstatus_to_exitcode(how), said.read()


if __name__ == "__main__":
    print(
        json.dumps(
            {
                target: fed(target, inputs)
                for target, inputs in (pair.split(":") for pair in sys.argv[1:])
            }
        )
    )
