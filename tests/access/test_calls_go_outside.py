"""Programs are called at public addresses only: an address typed here leads to nothing inside."""

import socket
import ssl
import threading
from http.client import HTTPSConnection
from http.server import BaseHTTPRequestHandler, HTTPServer
from urllib.error import URLError
from urllib.request import Request

import pytest

from quotes import outgoing
from quotes.desk.integrations import IntegrationError, make_integration, tell_at
from quotes.outgoing import Deadline, Inside, calling, is_public

INSIDE = [
    "127.0.0.1", "127.9.9.9", "0.0.0.0", "10.1.2.3", "172.16.0.1", "192.168.1.1", "169.254.169.254",  # noqa: S104
    "100.64.0.1", "192.0.2.1", "224.0.0.1", "255.255.255.255", "240.0.0.1", "198.18.0.1", "::1", "::", "fe80::1",
    "fe80::1%eth0", "fc00::1", "fd12::1", "ff02::1", "2001:db8::1", "::ffff:127.0.0.1", "::ffff:10.0.0.1",
    "64:ff9b::7f00:1", "2002:7f00:1::", "2001:0:7f00:1::",
    # An address of IPv4 behind ::, one translated (RFC 7915), local ones of old and of one's own translator.
    "::127.0.0.1", "::ffff:0:7f00:1", "fec0::1", "64:ff9b:1::7f00:1", "4000::1", "3fff::1", "not an address", "",
]  # fmt: skip
OUTSIDE = ["1.1.1.1", "93.184.216.34", "2606:4700::1111", "::ffff:1.1.1.1", "64:ff9b::101:101"]


@pytest.mark.parametrize("address", INSIDE)
def test_inside(address):
    """Loopback, private, link-local, reserved and documentation addresses, also wrapped in IPv6."""
    assert not is_public(address)


@pytest.mark.parametrize("address", OUTSIDE)
def test_outside(address):
    """Addresses of the open Internet."""
    assert is_public(address)


@pytest.mark.parametrize(
    "host",
    [
        "127.0.0.1", "localhost", "LOCALHOST.", "desk.localhost", "10.0.0.5", "[::1]", "[::ffff:10.0.0.1]", "127.1",
        "2130706433", "0x7f000001", "printer.local", "169.254.169.254", "[::127.0.0.1]", "[fec0::1]",
    ],
)  # fmt: skip
def test_refused_when_typed(host, db):
    """An address that is plainly inside is refused with a sentence, and none is stored."""
    made, _ = make_integration("till", "ann")
    with pytest.raises(IntegrationError, match="inside this network"):
        tell_at(made.pk, f"https://{host}/news")
    made.refresh_from_db()
    assert made.news_url == ""


@pytest.fixture
def server():
    """(a server on this machine, the bodies it was sent)."""
    got = []

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self):
            got.append(self.rfile.read(int(self.headers["Content-Length"])))
            self.send_response(200)
            self.end_headers()

        def log_message(self, *words):
            pass

    made = HTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=made.serve_forever, daemon=True).start()
    yield made, got
    made.shutdown()
    made.server_close()


def call(server, host: str, inside_too: bool) -> None:
    address = f"http://{host}:{server.server_port}/news"
    with calling(Request(address, data=b"x", method="POST"), 5, inside_too):
        pass


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "shop.example"])
def test_never_connected(host, server, monkeypatch):
    """Not even a name that only turns out to be inside is connected to."""
    monkeypatch.setattr(outgoing.socket, "getaddrinfo", _always("127.0.0.1"))
    with pytest.raises(URLError) as refused:
        call(server[0], host, inside_too=False)
    assert isinstance(refused.value.reason, Inside)
    assert "inside this network" in str(refused.value) and server[1] == []


def test_one_inside_address_among_others(server, monkeypatch):
    """A name with a public address and one inside is refused whole."""
    monkeypatch.setattr(outgoing.socket, "getaddrinfo", _always("1.1.1.1", "127.0.0.1"))
    with pytest.raises(URLError, match="inside this network"):
        call(server[0], "shop.example", inside_too=False)


def test_name_that_changes_its_mind(server, monkeypatch):
    """The connection goes to the address that was looked at, whatever the name stands for a moment later."""
    answers = iter([["1.1.1.1"], ["127.0.0.1"], ["127.0.0.1"]])
    called = []
    monkeypatch.setattr(
        outgoing.socket, "getaddrinfo", lambda host, port, **more: _found(next(answers), port)
    )
    monkeypatch.setattr(
        outgoing.socket, "create_connection", lambda where, *more: called.append(where) or 1 / 0
    )
    with pytest.raises(ZeroDivisionError):
        call(server[0], "shop.example", inside_too=False)
    assert called == [("1.1.1.1", server[0].server_port)]


def test_proxy_of_the_environment(server, monkeypatch):
    """A proxy named in the environment is no way round."""
    monkeypatch.setenv("http_proxy", f"http://127.0.0.1:{server[0].server_port}")
    monkeypatch.setattr(outgoing.socket, "getaddrinfo", _always("127.0.0.1"))
    with pytest.raises(URLError, match="inside this network"):
        call(server[0], "shop.example", inside_too=False)
    assert server[1] == []


def test_where_the_installation_says_so(server):
    """With NEWS_INSIDE a program on the same machine is told."""
    call(server[0], "127.0.0.1", inside_too=True)
    assert server[1] == [b"x"]


def test_certificates_are_checked():
    """Over https the certificate is checked, for the name that was typed."""
    made = []
    handler = outgoing._Https(outgoing.connect_outside, Deadline(5))
    handler.do_open = lambda kind, req, context: made.append((kind, context))
    handler.https_open(Request("https://shop.example/news"))
    ((kind, context),) = made
    assert isinstance(kind("shop.example"), HTTPSConnection)
    assert (context.verify_mode, context.check_hostname) == (ssl.CERT_REQUIRED, True)


def _found(addresses, port):
    return [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (one, port)) for one in addresses]


def _always(*addresses):
    return lambda host, port, **more: _found(addresses, port)
