"""A mail server on loopback for the harness: `python -m tests.faults.mail_server FOLDER PORT PATIENCE`.

It keeps each message it takes as a file of FOLDER. A fault is a file NUMBER.fault with the fault's
name in it: the next message meets it, and the file becomes NUMBER.done.
"""

import sys
import threading
import time
from pathlib import Path

from aiosmtpd.controller import Controller

from tests.faults.bad_mail_server import FAULTS, BadServer

AWAY = "is away"
KINDS = (AWAY, *FAULTS)
# The server answers in one thread and goes away by another.
_one_at_a_time = threading.Lock()


class FolderServer(BadServer):
    def __init__(self, folder: Path, patience: float) -> None:
        super().__init__({}, patience)
        self.folder, self.taken = folder, 0

    def _next(self, receiver: str, *beginnings: str) -> str | None:
        return use_up(self.folder, *beginnings)

    def _keep(self, receiver: str, content: bytes) -> None:
        self.taken += 1
        draft = self.folder / f"{self.taken:06}.part"
        draft.write_bytes(content)
        draft.rename(draft.with_suffix(".eml"))


def use_up(folder: Path, *beginnings: str) -> str | None:
    """The oldest waiting fault, if it is one of these; it is then done."""
    with _one_at_a_time:
        for file in sorted(folder.glob("*.fault")):
            fault = file.read_text()
            if fault == AWAY and beginnings != (AWAY,):
                continue
            if not fault.startswith(beginnings):
                return None
            file.rename(file.with_suffix(".done"))
            return fault
    return None


def order(folder: Path, number: int, fault: str) -> None:
    """Have the next message meet this fault."""
    draft = folder / f"{number:06}.new"
    draft.write_text(fault)
    draft.rename(draft.with_suffix(".fault"))


def main(folder: Path, port: int, patience: float) -> None:
    server = FolderServer(folder, patience)

    def begin() -> Controller:
        controller = Controller(server, hostname="127.0.0.1", port=port)
        controller.start()
        return controller

    controller = begin()
    print("ready", flush=True)
    while True:
        if use_up(folder, AWAY):
            controller.stop()
            time.sleep(patience)
            controller = begin()
        time.sleep(0.02)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), float(sys.argv[3]))
