"""A program that takes its time holds no worker up: a call is over at its deadline, whatever the other side does."""

import socket
import threading
import time
from urllib.request import Request

import pytest

from quotes import outgoing, post
from quotes.outgoing import calling

SECONDS = 0.6
# Ways of never being done; each byte comes well before any one read gives up.
WAYS = {
    "silent": b"",
    "in the status line": b"HTTP/1.1 200" + b" " * 60_000,
    "in the headers": b"HTTP/1.1 200 OK\r\nX-Slow: " + b"a" * 60_000,
    "one 100 Continue after the other": b"HTTP/1.1 100 Continue\r\n\r\n" * 2_000,
    "a refusal": b"HTTP/1.1 500 No\r\nX-Slow: " + b"a" * 60_000,
}


@pytest.fixture
def trickler():
    """A function: what to send, byte by byte; the address of a real server on loopback that does."""
    stop, listening = threading.Event(), []

    def serve(answer: bytes) -> str:
        server = socket.create_server(("127.0.0.1", 0))
        listening.append(server)

        def run() -> None:
            while not stop.is_set():
                try:
                    caller, _ = server.accept()
                except OSError:
                    return
                threading.Thread(target=trickle, args=(caller,), daemon=True).start()

        def trickle(caller: socket.socket) -> None:
            with caller:
                try:
                    for at in range(len(answer)):
                        caller.send(answer[at : at + 1])
                        if stop.wait(0.02):
                            return
                    stop.wait(30)
                except OSError:
                    return

        threading.Thread(target=run, daemon=True).start()
        return f"127.0.0.1:{server.getsockname()[1]}/news"

    yield serve
    stop.set()
    for server in listening:
        server.close()


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("scheme", ["http", "https"])
def test_over_at_the_deadline(way, scheme, trickler):
    """However the answer trickles, in plain HTTP or where a TLS greeting is due, the call ends in time."""
    address = f"{scheme}://{trickler(WAYS[way])}"
    request = Request(address, data=b"x", method="POST")  # noqa: S310
    began = time.monotonic()
    with pytest.raises(OSError) as told, calling(request, SECONDS, inside_too=True):
        pass
    assert time.monotonic() - began < SECONDS + 5
    # What is no TLS at all is noticed before.
    assert scheme == "https" or "no full answer within 0.6 seconds" in str(told.value)


def test_no_thread_stays(trickler):
    """Nothing is left of a call that is over."""
    before = threading.active_count()
    request = Request(f"http://{trickler(b'HTTP/1.1 204 Taken' + bytes([13, 10] * 2))}", data=b"x")
    with calling(request, 5, inside_too=True) as answer:
        assert answer.status == 204
    until = time.monotonic() + 5
    # The server of this test is one of them, and its thread for the caller.
    while threading.active_count() > before + 2 and time.monotonic() < until:
        time.sleep(0.01)
    assert threading.active_count() <= before + 2


def test_many_addresses_share_the_time(monkeypatch):
    """A name with a hundred addresses that do not answer is given up when the time is over, not a hundred times."""
    tried = []

    def silent(where, left, source=None):
        tried.append(left)
        time.sleep(0.05)
        raise TimeoutError

    found = [(socket.AF_INET, socket.SOCK_STREAM, 6, "", ("1.1.1.1", 80))] * 100
    monkeypatch.setattr(outgoing.socket, "getaddrinfo", lambda *said, **more: found)
    monkeypatch.setattr(outgoing.socket, "create_connection", silent)
    with pytest.raises(OSError):
        outgoing.connect_outside(("shop.example", 80), 0.3)
    assert len(tried) < 10 and tried == sorted(tried, reverse=True)


def test_many_news_for_a_slow_program(monkeypatch):
    """A round begins no further call once its time is over, so that mail has its turn."""
    begun = []
    monkeypatch.setattr(post, "send", lambda rows, pk, write: bool(begun.append(pk)))
    monkeypatch.setattr(post, "due", lambda rows: Rows())
    monkeypatch.setattr(post, "ROUND_SECONDS", 0.0)
    assert post.send_due(Rows(), None) == 0 and begun == []
    monkeypatch.setattr(post, "ROUND_SECONDS", 30.0)
    post.send_due(Rows(), None)
    assert begun == [1, 2, 3]


class Rows:
    """Three rows that are due; of none was it the mail server that was away."""

    def filter(self, **said):
        return self

    def exists(self):
        return False

    def order_by(self, *said):
        return self

    def values_list(self, *said, **more):
        return [1, 2, 3]
