"""An SMTP server on loopback that misbehaves as it is told, message by message, and keeps what it took."""

import asyncio
import socket
from collections import defaultdict
from email import message_from_bytes

from aiosmtpd.controller import Controller

# What can go wrong, and whether the message was taken all the same.
FAULTS = {
    "refuses the receiver for now (451)": False,
    "refuses the receiver (550)": False,
    "refuses the message for now (452)": False,
    "refuses the message (554)": False,
    "answers too late": False,
    "cuts the line before it has taken the message": False,
    "cuts the line after it has taken the message": True,
}


class BadServer:
    """`plan` is {receiver: the faults to come, first to last}; `box` {receiver: [message, …]}."""

    def __init__(self, plan: dict[str, list[str]], patience: float) -> None:
        self.plan, self.patience = plan, patience
        self.box: dict[str, list] = defaultdict(list)
        self.done: list[str] = []

    def start(self) -> int:
        """Its port."""
        with socket.socket() as found:
            found.bind(("127.0.0.1", 0))
            port = found.getsockname()[1]
        self.controller = Controller(self, hostname="127.0.0.1", port=port)
        self.controller.start()
        return port

    def stop(self) -> None:
        self.controller.stop()

    def _next(self, receiver: str, *beginnings: str) -> str | None:
        """The receiver's next fault, if it is one of these; it is then used up."""
        waiting = self.plan.get(receiver)
        if not waiting or not waiting[0].startswith(beginnings):
            return None
        self.done.append(waiting[0])
        return waiting.pop(0)

    async def handle_RCPT(self, server, session, envelope, address, options) -> str:
        fault = self._next(address, "refuses the receiver")
        if fault:
            return "451 later" if "451" in fault else "550 nobody here"
        envelope.rcpt_tos.append(address)
        return "250 ok"

    async def handle_DATA(self, server, session, envelope) -> str:
        (receiver,) = envelope.rcpt_tos
        fault = self._next(receiver, *FAULTS) or ""
        if fault == "answers too late":
            await asyncio.sleep(2 * self.patience)
        if fault.startswith("refuses"):
            return "452 no room" if "452" in fault else "554 not wanted"
        if not fault or FAULTS[fault]:
            self._keep(receiver, envelope.content)
        if fault.startswith("cuts"):
            server.transport.abort()
        return "451 too late" if fault else "250 taken"

    def _keep(self, receiver: str, content: bytes) -> None:
        self.box[receiver].append(message_from_bytes(content))
