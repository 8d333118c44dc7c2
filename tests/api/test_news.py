"""A program is told of its quotes and orders: once, signed, again until it takes it, and nobody else's."""

import hmac
import json
import re
import threading
from base64 import b64encode
from datetime import timedelta
from hashlib import sha256
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest
from django.utils import timezone

from config.api.worked import NEWS, VARIES
from ordering.events import Who, place_from_quote
from ordering.expected import forget
from ordering.news import gather, secret_of, sweep
from quotes.desk.accepting import accept
from quotes.desk.drafts import Head, change_head
from quotes.desk.integrations import IntegrationError, switch_off, tell_at
from quotes.desk.issuing import issue_quote
from quotes.models import Integration, News, Quote
from tests.quotes.shop import issued_quote

pytestmark = pytest.mark.django_db

LEFT = {
    "key": "cart-000412",
    "caller": "Ines Calloway",
    "openings": [
        {
            "family": "otter-liner",
            "label": "kitchen",
            "measures": {"upper_glass": "20 1/4", "lower_glass": "20 1/4", "opening": "47 7/8",
                         "sash_weight": 12},
            "finish": "slate",
        }
    ],
}  # fmt: skip


class Receiver:
    """A real HTTP server on loopback that answers as it is told to."""

    def __init__(self):
        self.got, self.answer, outer = [], 204, self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self):
                body = self.rfile.read(int(self.headers["Content-Length"]))
                outer.got.append((dict(self.headers), body, self.path))
                self.send_response(outer.answer)
                if outer.answer == 302:
                    self.send_header("Location", "/elsewhere")
                self.send_header("Content-Length", "0")
                self.end_headers()

            def log_message(self, *args):
                pass

        self.server = HTTPServer(("127.0.0.1", 0), Handler)
        self.url = f"http://127.0.0.1:{self.server.server_port}/news"
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    @property
    def told(self):
        return [(m["what"], m["happened"]) for m in (json.loads(body) for _, body, _ in self.got)]


@pytest.fixture(autouse=True)
def inside(settings):
    """The programs of these tests run on this machine."""
    settings.NEWS_INSIDE = True


@pytest.fixture
def receiver():
    made = Receiver()
    yield made
    made.server.shutdown()
    made.server.server_close()


@pytest.fixture
def program(web_shop, receiver):
    tell_at(web_shop.integration.pk, receiver.url)
    return web_shop


def quote_issued(program):
    """The program's request, quoted by it and issued by the desk."""
    number = program.post("/requests", LEFT).json()["number"]
    (quote,) = program.post(f"/requests/{number}/quote").json()["quotes"]
    issue = Quote.objects.get(pk=int(quote["number"])).issues.get()
    change_head(issue.pk, Head(None, True, None, "", 30))
    return issue_quote(issue.pk, "ann")


def again_due():
    """As if the time until the next attempt had gone by."""
    News.objects.update(taken_at=timezone.now() - timedelta(hours=12))


def test_quote_and_order(program, receiver):
    """The issued quote and the placed order are told, in their order, each with its number."""
    issue = quote_issued(program)
    assert sweep() == 1
    assert receiver.told == [("quote", "issue 1 issued")]
    assert json.loads(receiver.got[0][1])["number"] == issue.quote.number
    accept(issue.pk, name="Ines Calloway", ticked=["Opening 1, kitchen"])
    forget()
    place_from_quote(issue.quote.pk, Who("ann", "counter"))
    assert sweep() == 1
    assert receiver.told[1:] == [("order", "placed")]
    told = json.loads(receiver.got[1][1])
    assert {name: NEWS[name] if NEWS[name] == VARIES else told[name] for name in told} == NEWS


def test_once(program, receiver):
    """However often the worker goes round, and two of them at once, each fact is told once."""
    quote_issued(program)
    gather()
    gather()
    assert [sweep(), sweep(), sweep()] == [1, 0, 0]
    assert len(receiver.got) == News.objects.count() == 1


@pytest.mark.parametrize("answer", [500, 404, 302])
def test_again_until_it_is_taken(program, receiver, answer):
    """An answer that is no 2xx, or leads elsewhere, is tried again later, under the same id."""
    receiver.answer = answer
    quote_issued(program)
    assert sweep() == 0
    assert sweep() == 0
    assert len(receiver.got) == 1
    assert str(answer) in News.objects.get().last_error
    receiver.answer = 204
    again_due()
    assert sweep() == 1
    ids = {json.loads(body)["id"] for _, body, _ in receiver.got}
    assert len(receiver.got) == 2 and len(ids) == 1
    assert {path for _, _, path in receiver.got} == {"/news"}


def test_program_that_is_down(web_shop):
    """Nobody listening at the address holds nothing up and is noted."""
    tell_at(web_shop.integration.pk, "http://127.0.0.1:9/news")
    quote_issued(web_shop)
    assert sweep() == 0
    assert "refused" in News.objects.get().last_error


def test_given_up(program, receiver):
    """What was not taken for three days is not tried for ever."""
    receiver.answer = 500
    quote_issued(program)
    sweep()
    again_due()
    News.objects.update(created_at=timezone.now() - timedelta(days=4))
    receiver.answer = 204
    assert sweep() == 0


def test_signature(program, receiver):
    """The signature is the one that the standard says, made with the program's secret over this very body."""
    quote_issued(program)
    sweep()
    headers, body, _ = receiver.got[0]
    digest = f"sha-256=:{b64encode(sha256(body).digest()).decode()}:"
    assert headers["Content-Digest"] == digest
    parameters = headers["Signature-Input"].removeprefix("desk=")
    base = (
        f'"@method": POST\n"@target-uri": {receiver.url}\n"content-digest": {digest}\n'
        f'"@signature-params": {parameters}'
    )
    secret = secret_of(Integration.objects.get()).encode()
    made = b64encode(hmac.digest(secret, base.encode(), "sha256")).decode()
    assert headers["Signature"] == f"desk=:{made}:"
    created = int(re.search(r"created=(\d+)", parameters).group(1))
    assert abs(created - timezone.now().timestamp()) < 60


def test_nobody_elses(program, receiver, till):
    """What other programs and the desk itself do is not told."""
    issued_quote()
    quote_issued(till)
    assert sweep() == 0
    assert receiver.got == []


def test_only_from_then_on(web_shop, receiver):
    """What happened before the address was given is not told; without an address, or off, nothing is."""
    quote_issued(web_shop)
    tell_at(web_shop.integration.pk, receiver.url)
    assert sweep() == 0
    number = web_shop.post("/requests", LEFT | {"key": "cart-000413"}).json()["number"]
    (quote,) = web_shop.post(f"/requests/{number}/quote").json()["quotes"]
    issue = Quote.objects.get(pk=int(quote["number"])).issues.get()
    change_head(issue.pk, Head(None, True, None, "", 30))
    issue_quote(issue.pk, "ann")
    switch_off(web_shop.integration.pk)
    assert sweep() == 0
    assert receiver.got == []


def test_new_address_new_secret(program):
    """Whoever had the old address cannot sign for the new one."""
    before = secret_of(Integration.objects.get())
    tell_at(program.integration.pk, "https://shop.example/news")
    assert secret_of(Integration.objects.get()) != before


@pytest.mark.parametrize("url", ["file:///etc/passwd", "ftp://shop.example/", "shop.example"])
def test_only_web_addresses(program, url):
    """No other address than http and https is taken."""
    with pytest.raises(IntegrationError, match="https://"):
        tell_at(program.integration.pk, url)
