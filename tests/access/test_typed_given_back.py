"""Whatever fails behind a form or a page, the answer says so in one sentence and gives back what was typed."""

import errno
import html
import re
import sqlite3

import psycopg
import pytest
from django.db import InterfaceError, OperationalError, connection
from django.test import Client
from django.urls import reverse

from config.access import KEY, LINK, RULES
from config.trouble import AWAY, BUSY, FAILED, FULL, what_failed

TYPED = {"note": '<script>"two\n lines', "caller": "Mara & Quill", "version": "3"}
SECRET = dict.fromkeys(
    ("password", "new_password1", "own_password", "again", "code"), "paper and ink"
)
POSTS = sorted(name for name, rule in RULES.items() if rule.write)
GETS = sorted(name for name, rule in RULES.items() if rule.read and name != "health")


def busy(*said):
    raise OperationalError("database is locked") from with_number(sqlite3.SQLITE_BUSY)


def with_number(number):
    made = sqlite3.OperationalError("in the driver's words")
    made.sqlite_errorcode = number
    return made


def failing(client, method, name, built, **more):
    """The answer while every statement fails, from the first on."""
    address = reverse(name, args=built[1].get(name, []))
    with connection.execute_wrapper(busy):
        return (
            client.generic(method, address, **more)
            if method == "GET"
            else client.post(address, **more)
        )


def signed_in(built, **more):
    client = Client(raise_request_exception=False, **more)
    client.force_login(built[0]["owner"])
    return client


@pytest.mark.parametrize("name", POSTS)
def test_every_form(name, built, db):
    """All fields are there to be sent again, as typed; no password or code is; markup stays words."""
    answer = failing(signed_in(built), "POST", name, built, data=TYPED | SECRET)
    page = answer.content.decode()
    assert (answer.status_code, answer["Retry-After"]) == (503, "5")
    assert "no-store" in answer["Cache-Control"] and "paper and ink" not in page
    if KEY in (RULES[name].read, RULES[name].write):
        assert "database was busy" in answer.json()["error"]
        return
    assert "Nothing of this was saved: the database was busy" in page and "<script>" not in page
    boxes = re.findall(r'<input type="hidden" name="(.*?)" value="(.*?)"', page, re.DOTALL)
    kept = {html.unescape(field): html.unescape(value) for field, value in boxes}
    assert ("csrfmiddlewaretoken" in kept) == (RULES[name].write != LINK)
    kept.pop("csrfmiddlewaretoken", None)
    assert kept == TYPED
    assert len(re.findall('<input type="password" name="', page)) == len(SECRET)
    assert f'action="{reverse(name, args=built[1].get(name, []))}"' in page


@pytest.mark.parametrize("name", GETS)
def test_every_page(name, built, db):
    """A page that cannot be read says so and how to come to it again."""
    answer = failing(signed_in(built), "GET", name, built)
    if answer.status_code == 503:
        assert answer["Retry-After"] == "5"
        assert "could not be shown" in answer.content.decode()
    # Few ask the database nothing.
    assert answer.status_code in (503, 200, 302, 304, 401)


def test_sent_again(built, db):
    """The form that came back is taken when the database is free: its token is good, its words are stored."""
    client = signed_in(built, enforce_csrf_checks=True)
    order = built[1]["order-note"]
    token = re.search(
        'csrfmiddlewaretoken" value="(.*?)"',
        client.get(reverse("order", args=order)).content.decode(),
    )[1]
    said = {"why": "Rang: twice\r\n& again", "csrfmiddlewaretoken": token}
    page = failing(client, "POST", "order-note", built, data=said).content.decode()
    boxes = re.findall(r'<input type="hidden" name="(.*?)" value="(.*?)"', page, re.DOTALL)
    kept = {field: html.unescape(value) for field, value in boxes}
    assert client.post(reverse("order-note", args=order), kept).status_code == 302
    assert "Rang: twice" in client.get(reverse("order", args=order)).content.decode()


def test_from_elsewhere(built, db):
    """A form that another site sent is not made ready to be sent again."""
    client = signed_in(built, enforce_csrf_checks=True)
    page = failing(client, "POST", "staff-role", built, data={"role": "owner"}).content.decode()
    assert "owner" not in page and "csrfmiddlewaretoken" not in page


def test_by_itself(built, db):
    """What a page asks for by itself is answered with the sentence alone, as a failure: nothing is put in place of the boxes."""
    client = signed_in(built, headers={"HX-Request": "true"})
    answer = failing(client, "POST", "counter-answer", built, data=TYPED)
    assert (answer.status_code, answer["Content-Type"].partition(";")[0]) == (503, "text/plain")
    assert answer.content.decode().startswith(
        "The database was busy, so this was not done. What you typed"
    )


def test_file(built, db):
    """A file is named, to be chosen again."""
    from django.core.files.uploadedfile import SimpleUploadedFile

    file = SimpleUploadedFile("hall <1>.xlsx", b"x")
    answer = failing(
        signed_in(built), "POST", "schedules", built, data={"family": "1", "file": file}
    )
    page = answer.content.decode()
    assert "Choose the file hall &lt;1&gt;.xlsx again" in page and 'type="file" name="file"' in page


def test_customer_in_spanish(built, db):
    """A customer reads it in the language of their browser."""
    client = Client(raise_request_exception=False, headers={"Accept-Language": "es"})
    answer = failing(client, "POST", "quote-change", built, data={"words": "Más tarde"})
    page = answer.content.decode()
    assert answer["Content-Language"] == "es" and '<html lang="es">' in page
    assert "la base de datos estaba ocupada" in page and "Más tarde" in page


def test_after_the_act(built, db):
    """If only what comes after the act fails, it is not told as undone."""
    client = signed_in(built)
    address = reverse("order-note", args=built[1]["order-note"])
    session = client.session
    session["seen"] = session["seen"] - 3600
    session.save()

    def no_session(execute, sql, params, many, context):
        return (
            busy()
            if sql.startswith(("UPDATE", "INSERT")) and "django_session" in sql
            else execute(sql, params, many, context)
        )

    with connection.execute_wrapper(no_session):
        page = client.post(address, {"why": "It is done."}).content.decode()
    assert "look first whether this was saved" in page and "Nothing of this was saved" not in page
    assert "It is done." in client.get(reverse("order", args=built[1]["order"])).content.decode()


def test_any_other_failure(built, db, monkeypatch):
    """A fault of the desk's own gives back what was typed, too, with the number to find it by."""
    monkeypatch.setattr("ordering.views.orders.events.write", lambda *said, **more: 1 / 0)
    answer = signed_in(built).post(
        reverse("order-note", args=built[1]["order-note"]), {"why": "Twice & again"}
    )
    page = answer.content.decode()
    assert answer.status_code == 500 and "Retry-After" not in answer
    assert 'value="Twice &amp; again"' in page and answer["X-Request-Id"] in page


def state(letters, kind=psycopg.OperationalError):
    return type("Told", (kind,), {"sqlstate": letters, "__module__": "psycopg.errors"})("words")


PROBLEMS = {
    "SQLite held": (with_number(sqlite3.SQLITE_BUSY), BUSY),
    "SQLite held, in detail": (with_number(sqlite3.SQLITE_BUSY | 2 << 8), BUSY),
    "SQLite full": (with_number(sqlite3.SQLITE_FULL), FULL),
    "SQLite's disk failed": (with_number(sqlite3.SQLITE_IOERR | 3 << 8), FULL),
    "SQLite without a table": (with_number(sqlite3.SQLITE_ERROR), FAILED),
    "PostgreSQL's lock timeout": (psycopg.errors.LockNotAvailable(), BUSY),
    "PostgreSQL serialization": (psycopg.errors.SerializationFailure(), BUSY),
    "PostgreSQL deadlock": (psycopg.errors.DeadlockDetected(), BUSY),
    "PostgreSQL full": (psycopg.errors.DiskFull(), FULL),
    "PostgreSQL shut down": (psycopg.errors.AdminShutdown(), AWAY),
    "PostgreSQL not there": (psycopg.OperationalError("connection refused"), AWAY),
    "PostgreSQL without a table": (psycopg.errors.UndefinedTable(), FAILED),
    "no more files": (OSError(errno.ENOSPC, "No space left on device"), FULL),
    "no such file": (OSError(errno.ENOENT, "none"), FAILED),
    "anything": (ValueError("x"), FAILED),
}  # fmt: skip


@pytest.mark.parametrize("what", PROBLEMS)
def test_which(what):
    """What the driver says is told for what it is, whether or not Django has wrapped it."""
    problem, trouble = PROBLEMS[what]
    assert what_failed(problem) is trouble
    wrapped = OperationalError("in Django's words")
    wrapped.__cause__ = problem
    assert what_failed(wrapped) is trouble
    assert what_failed(InterfaceError("connection already closed")) is AWAY
    assert what_failed(None) is FAILED
