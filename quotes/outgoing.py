"""Calls to addresses that somebody has typed: to public ones only, unless the installation says otherwise.

What a name stands for is looked up once, and the connection goes to the very address that was looked
at, so a name that changes its mind in between leads nowhere else (OWASP: server-side request forgery).
No Django here.
"""

from __future__ import annotations

import socket
import ssl
from http.client import HTTPConnection, HTTPSConnection
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
        if found.ipv4_mapped is not None:
            return True
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
    """A connection to the first of the host's addresses that answers. Raises Inside if one is not public."""
    host, port = place
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    for *_, where in found:
        if not is_public(str(where[0])):
            raise Inside(host, str(where[0]))
    problem: OSError = OSError(f"{host} has no address.")
    for *_, where in found:
        try:
            return socket.create_connection((str(where[0]), port), timeout, source)
        except OSError as refused:
            problem = refused
    raise problem


class _Http(HTTPConnection):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._create_connection = connect_outside


class _Https(HTTPSConnection):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # The certificate is checked for the name all the same, not for the address.
        self._create_connection = connect_outside


class _HttpOutside(HTTPHandler):
    def http_open(self, req: Request) -> Any:
        return self.do_open(_Http, req)


class _HttpsOutside(HTTPSHandler):
    def https_open(self, req: Request) -> Any:
        return self.do_open(_Https, req, context=ssl.create_default_context())


class SendNowhereElse(HTTPRedirectHandler):
    """What is meant for one address is not sent on to another."""

    def redirect_request(
        self, req: Request, fp: IO[bytes], code: int, msg: str, headers: Any, newurl: str
    ) -> None:
        return None


def opener(inside_too: bool) -> OpenerDirector:
    """What opens web addresses, follows no redirect and, unless `inside_too`, calls public addresses only."""
    if inside_too:
        return build_opener(SendNowhereElse)
    # No proxy of the environment's: what it would call cannot be looked at from here.
    return build_opener(ProxyHandler({}), SendNowhereElse, _HttpOutside, _HttpsOutside)
