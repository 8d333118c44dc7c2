"""`restore --overwrite` killed with -9 at random moments: `python -m tests.faults.killed_restores SEED KILLS COPY COPY`.

DATABASE_URL names a desk that is as the first copy is; the copies take turns. Each restore is a fork of a
process that has loaded the desk, so that a blow falls into the restoring and not into Python's start. It
and whatever it runs die together. Prints as JSON [what was killed, the families there after it], by kill.
"""

import json
import os
import random
import signal
import sys
import time

import django

from tests.faults.fresh import families


def restore(copy: str) -> int:
    """Begins one; its process."""
    process = os.fork()
    if process == 0:
        try:
            os.setsid()
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, 1)
            os.dup2(nowhere, 2)
            from django.core.management import call_command

            call_command("restore", copy, "--overwrite")
        finally:
            os._exit(0)
    return process


def ends_within(process: int, seconds: float) -> bool:
    """Whether it came to its end before it was killed."""
    time.sleep(seconds)
    gone, _ = os.waitpid(process, os.WNOHANG)
    if not gone:
        os.killpg(process, signal.SIGKILL)
        os.waitpid(process, 0)
    return bool(gone)


def main(seed: int, kills: int, copies: list[str]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    # Loaded before the fork.
    import config.urls  # noqa: F401
    from ordering.management.commands import restore as _restore  # noqa: F401

    database, draw = os.environ["DATABASE_URL"], random.Random(seed)
    began = time.monotonic()
    os.waitpid(restore(copies[0]), 0)
    whole, told = time.monotonic() - began, []
    names = {families(database): copies[0]}
    os.waitpid(restore(copies[1]), 0)
    names[families(database)] = copies[1]
    for _ in range(4 * kills):
        now = families(database)
        other = next(copy for name, copy in names.items() if name != now)
        if ends_within(restore(other), draw.uniform(0.05, 1) * whole):
            # The machine was busier when it was measured.
            whole *= 0.8
        else:
            told.append([other, families(database)])
            if told[-1][1] not in names:
                break
        if len(told) == kills:
            break
    print(json.dumps(told))


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3:])
