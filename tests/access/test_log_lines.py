"""Log lines: JSON, one a request, with its id; no token, no name, no address, nothing typed."""

import io
import json
import logging

import pytest
from django.core.management import call_command
from django.db.utils import OperationalError
from django.test import Client
from django.urls import reverse

from config.access import LINK, RULES
from config.logging import Lines
from ordering.management.commands import work

LINKS = sorted(name for name, rule in RULES.items() if LINK in (rule.read, rule.write))


@pytest.fixture
def lines():
    """A function that tells the lines written so far, as objects."""
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    handler.setFormatter(Lines())
    # The loggers of the running desk, at their own levels.
    root, said = logging.getLogger(), logging.getLogger("desk")
    before = root.level, said.propagate
    root.addHandler(handler)
    yield lambda: [json.loads(line) for line in out.getvalue().splitlines()]
    root.removeHandler(handler)
    assert (root.level, said.propagate) == before


@pytest.mark.parametrize("name", LINKS)
def test_no_token(name, lines, built, db):
    """A link's page is logged by its pattern; the token stands in no line, opened or refused."""
    token = built[1][name][0]
    client = Client(raise_request_exception=False)
    client.get(reverse(name, args=[token]))
    client.post(reverse(name, args=[token]), {"name": "Mara Quill"})
    client.get(reverse(name, args=[token]) + "?again=" + token, HTTP_REFERER=f"http://x/{token}")
    client.get(f"/no-such/{token}")
    written = lines()
    assert token not in json.dumps(written)
    assert next(line["address"] for line in written if line["from"] == "desk.requests").endswith(
        ("<str:token>/", ">/accept/", ">/change/", ".pdf", ".xlsx", ".ics")
    )


def test_one_line_a_request(lines, built, db):
    """Method, pattern, status, milliseconds, the user's number, and the id the answer carries too."""
    client, ann = Client(), built[0]["counter"]
    client.force_login(ann)
    page = client.get(reverse("request", args=built[1]["request"]))
    (line,) = [line for line in lines() if line["from"] == "desk.requests"]
    assert line["ms"] > 0
    assert {
        key: line[key] for key in ("level", "method", "address", "status", "user", "request")
    } == {
        "level": "info",
        "method": "GET",
        "address": "/requests/<int:pk>/",
        "status": 200,
        "user": ann.pk,
        "request": page["X-Request-Id"],
    }


@pytest.mark.parametrize(
    ("given", "kept"),
    [("a1b2c3d4e5f6", True), ("short", False), ('x"}\n{"evil": 1', False), ("a" * 65, False)],
)
def test_id_from_the_proxy(given, kept, client, db):
    """A proxy's id is taken over if it is one; anything else is replaced."""
    page = client.get("/health/", HTTP_X_REQUEST_ID=given)
    assert (page["X-Request-Id"] == given) == kept
    assert len(page["X-Request-Id"]) >= 8


def test_failure(lines, built, db, monkeypatch):
    """What failed is logged with its place in the code and without its words; the page tells the id."""

    def fail(*args):
        raise ValueError("cannot read what Mara Quill typed, mara@quill.example")

    monkeypatch.setattr("quotes.views.calls.requests_asked_for", fail)
    client = Client(raise_request_exception=False)
    client.force_login(built[0]["counter"])
    page = client.get("/requests/?q=Mara")
    (failed,) = [line for line in lines() if line["level"] == "error"]
    assert page.status_code == 500
    assert failed["exception"] == "builtins.ValueError"
    assert any(place.startswith("quotes/views/calls.py:") for place in failed["where"])
    assert "Mara" not in json.dumps(lines()) and "quill" not in json.dumps(lines())
    assert failed["request"] == page["X-Request-Id"] and failed["request"] in page.content.decode()


def test_sign_in(lines, built, db):
    """Signing in, failing to and being locked out are logged, without the name that was typed."""
    person = built[0]["counter"]
    person.set_password("paper and ink 4711")
    person.save()
    for word in [*["wrong"] * 6, "paper and ink 4711"]:
        Client().post("/sign-in/", {"username": "counter-person", "password": word})
    written = lines()
    words = [line["words"] for line in written if line["from"] == "desk.sign_ins"]
    assert words.count("sign-in refused") >= 6
    assert "sign-in locked after too many wrong passwords" in words
    assert "counter-person" not in json.dumps(written) and "paper and ink" not in json.dumps(
        written
    )


def test_mail_addresses_of_any_library(lines):
    """A line from some other library loses what looks like a mail address or a token."""
    logging.getLogger("some.library").warning("sent to %s with %s", "mara@quill.example", "k" * 43)
    assert lines()[-1]["words"] == "sent to … with …"


@pytest.mark.parametrize(
    ("path", "address"), [("/static/desk.css", "/static/"), ("/no-such/", "(no such address)")]
)
def test_what_is_no_page(lines, client, db, path, address):
    """A stylesheet is not told as an address that there is none of."""
    client.get(path)
    found = [line["address"] for line in lines() if line["from"] == "desk.requests"]
    assert found == [address]


def test_the_worker_speaks_in_lines_too(lines, db, monkeypatch):
    """A database that does not answer is told by what failed and where, not by words that may quote a row."""

    def fail(self):
        raise OperationalError("deadlock; the row was (Mara Quill, mara@quill.example)")

    monkeypatch.setattr(work.Command, "_send", fail)
    # The test's own transaction stands on its connection.
    monkeypatch.setattr(work, "close_old_connections", lambda: None)
    said = io.StringIO()
    call_command("work", once=True, stdout=said, stderr=said)
    (line,) = [line for line in lines() if line["from"] == "desk.work"]
    assert (line["level"], line["exception"]) == ("warning", "django.db.utils.OperationalError")
    assert line["where"] and "Quill" not in json.dumps(line)
    assert said.getvalue() == ""


def test_the_worker_tells_how_many_windows_moved(lines, db, monkeypatch):
    """A line as all others are, with the count by itself."""
    monkeypatch.setattr(work, "watch_all", lambda most: 2)
    said = io.StringIO()
    work.Command(stdout=said, stderr=said)._look_after()
    (line,) = [line for line in lines() if line["from"] == "desk.work"]
    assert (line["level"], line["windows"], said.getvalue()) == ("info", 2, "")
