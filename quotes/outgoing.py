"""Calls to addresses that somebody has typed: to public ones only, unless the installation says otherwise.

What a name stands for is looked up once, and the connection goes to the very address that was looked
at, so a name that changes its mind in between leads nowhere else (OWASP: server-side request forgery).
A call has one deadline for all of it: who sends an answer byte by byte holds nobody up.
No Django here.
"""

from __future__ import annotations

import socket
import ssl
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from typing import IO, Any
from urllib.request import (
    HTTPHandler,
    HTTPRedirectHandler,
    HTTPSHandler,
    OpenerDirector,
    ProxyHandler,
    Request,
    build_opener,
)

# Where an IPv6 network hides IPv4 addresses (RFC 6052).
_NAT64 = ip_network("64:ff9b::/96")
# What is given out of IPv6 (RFC 4291, 2.4; IANA); all else is local, reserved or a way to write IPv4. Within it, for
# documentation only (RFC 9637): not yet known to Python's ipaddress.
_GIVEN_OUT, _EXAMPLES = ip_network("2000::/3"), ip_network("3fff::/20")


class Inside(OSError):
    """An address inside this machine's own network: one sentence."""

    def __init__(self, host: str, address: str) -> None:
        super().__init__(
            f"{host} is {address}, inside this network: only public addresses are called."
        )


def is_public(address: str) -> bool:
    """Whether an IP address is one of the open Internet, also by what it wraps (mapped, 6to4, NAT64)."""
    try:
        found = ip_address(address.partition("%")[0])
    except ValueError:
        return False
    if isinstance(found, IPv6Address):
        wrapped = [found.ipv4_mapped, found.sixtofour, *(found.teredo or ())]
        if found in _NAT64:
            wrapped.append(IPv4Address(found.packed[-4:]))
        if not all(is_public(str(inner)) for inner in wrapped if inner is not None):
            return False
        if found.ipv4_mapped is not None or found in _NAT64:
            return True
        if found not in _GIVEN_OUT or found in _EXAMPLES:
            return False
    return found.is_global and not found.is_multicast


def said_inside(host: str) -> bool:
    """Whether the host, as typed, is plainly this machine or an address of its own network."""
    name = host.rstrip(".").casefold()
    if name == "localhost" or name.endswith((".localhost", ".local", ".internal")):
        return True
    try:
        # Also 127.1, 0x7f000001 and 2130706433, as the system would read them.
        return not is_public(socket.inet_ntoa(socket.inet_aton(name)))
    except OSError:
        return ":" in name and not is_public(name.strip("[]"))


def connect_outside(
    place: tuple[str, int], timeout: float, source: tuple[str, int] | None = None
) -> socket.socket:
    """A connection to the first of the host's addresses that answers, within `timeout` seconds for all of them.

    Raises Inside if one of them is not public.
    """
    host, port = place
    until = time.monotonic() + timeout
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    for *_, where in found:
        if not is_public(str(where[0])):
            raise Inside(host, str(where[0]))
    problem: OSError = OSError(f"{host} has no address.")
    for *_, where in found:
        left = until - time.monotonic()
        if left <= 0:
            break
        try:
            return socket.create_connection((str(where[0]), port), left, source)
        except OSError as refused:
            problem = refused
    raise problem


class Deadline:
    """Ends connections at a moment, whatever they are at: each single read has a time limit of its own only."""

    def __init__(self, seconds: float) -> None:
        self.seconds, self.until = seconds, time.monotonic() + seconds
        self._held: list[tuple[threading.Timer, socket.socket]] = []

    @property
    def is_over(self) -> bool:
        return time.monotonic() >= self.until

    def hold(self, connection: socket.socket) -> socket.socket:
        """The connection, which is shut when the time is over."""
        # A second handle, since TLS takes the first one over.
        twin = connection.dup()
        timer = threading.Timer(max(0.0, self.until - time.monotonic()), _shut, [twin])
        timer.daemon = True
        timer.start()
        self._held.append((timer, twin))
        return connection

    def let_go(self) -> None:
        for timer, twin in self._held:
            timer.cancel()
            twin.close()


def _shut(connection: socket.socket) -> None:
    with suppress(OSError):
        connection.shutdown(socket.SHUT_RDWR)


def _connection(kind: type, connect: Any, deadline: Deadline, *args: Any, **more: Any) -> Any:
    """An HTTPConnection or HTTPSConnection that connects by `connect` and ends at the deadline.

    A certificate is checked for the name all the same, not for the address.
    """
    made = kind(*args, **more)
    made._create_connection = lambda *said: deadline.hold(connect(*said))
    return made


class _Http(HTTPHandler):
    def __init__(self, connect: Any, deadline: Deadline) -> None:
        super().__init__()
        self.kind = partial(_connection, HTTPConnection, connect, deadline)

    def http_open(self, req: Request) -> Any:
        return self.do_open(self.kind, req)


class _Https(HTTPSHandler):
    def __init__(self, connect: Any, deadline: Deadline) -> None:
        super().__init__()
        self.kind = partial(_connection, HTTPSConnection, connect, deadline)

    def https_open(self, req: Request) -> Any:
        return self.do_open(self.kind, req, context=ssl.create_default_context())


class SendNowhereElse(HTTPRedirectHandler):
    """What is meant for one address is not sent on to another."""

    def redirect_request(
        self, req: Request, fp: IO[bytes], code: int, msg: str, headers: Any, newurl: str
    ) -> None:
        return None


def _opener(inside_too: bool, deadline: Deadline) -> OpenerDirector:
    """What opens web addresses, follows no redirect and, unless `inside_too`, calls public addresses only."""
    connect = socket.create_connection if inside_too else connect_outside
    # No proxy of the environment's: what it would call cannot be looked at from here.
    proxies = [] if inside_too else [ProxyHandler({})]
    return build_opener(
        *proxies, SendNowhereElse, _Http(connect, deadline), _Https(connect, deadline)
    )


@contextmanager
def calling(request: Request, seconds: float, inside_too: bool) -> Iterator[Any]:
    """The answer to a call, if it is 2xx and there within `seconds`, all told.

    Raises OSError otherwise: urllib's URLError, or TimeoutError when the time is over.
    """
    deadline = Deadline(seconds)
    try:
        with _opener(inside_too, deadline).open(request, timeout=seconds) as answer:
            if deadline.is_over:
                # What was cut off in its headers looks like a whole answer without a body.
                raise _too_slow(seconds)
            yield answer
    except (OSError, HTTPException) as problem:
        if deadline.is_over:
            raise _too_slow(seconds) from problem
        raise
    finally:
        deadline.let_go()


def _too_slow(seconds: float) -> TimeoutError:
    return TimeoutError(f"no full answer within {seconds:g} seconds")
