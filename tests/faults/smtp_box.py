"""An SMTP server on loopback that keeps each message as one file of a folder: the customers' box.

python -m tests.faults.smtp_box FOLDER PORT. It answers slowly now and then, as servers do, both before
and after it has taken a message, so that a killed sender is caught at every point.
"""

import asyncio
import random
import sys
import time
from pathlib import Path

from aiosmtpd.controller import Controller


class Box:
    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.taken = 0

    async def handle_DATA(self, server, session, envelope) -> str:
        await asyncio.sleep(random.choice((0, 0, 0.02, 0.06)))
        self.taken += 1
        draft = self.folder / f"{self.taken:06}.part"
        draft.write_bytes(envelope.content)
        draft.rename(self.folder / f"{self.taken:06}.eml")
        # From here on the message is taken, though its sender may never hear of it.
        await asyncio.sleep(random.choice((0, 0, 0.02, 0.06)))
        return "250 taken"


def main(folder: str, port: str) -> None:
    controller = Controller(Box(Path(folder)), hostname="127.0.0.1", port=int(port))
    controller.start()
    print("ready", flush=True)
    while True:
        time.sleep(60)


if __name__ == "__main__":
    main(*sys.argv[1:])
