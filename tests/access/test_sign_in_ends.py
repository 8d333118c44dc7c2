"""A sign-in ends: when nobody uses it, after twelve hours, from another browser."""

import re
from datetime import datetime

import pytest
import time_machine
from django.test import Client
from django.utils.timezone import get_default_timezone

from quotes.models import Shop, SignIn
from tests.access.signing_in import is_in, person, sign_in
from tests.quotes.shop import load_liner


@pytest.fixture
def clock():
    with time_machine.travel(
        datetime(2027, 3, 1, 9, tzinfo=get_default_timezone()), tick=False
    ) as clock:
        yield clock


@pytest.fixture
def ann(clock, db):
    """Somebody who has signed in with this browser."""
    person()
    Shop.objects.create(pk=1, name="Tarnbrook", idle_minutes=30)
    client = Client()
    sign_in(client)
    return client


def test_unused(ann, clock):
    """Unused for as long as the shop says, it ends; used in between, it goes on."""
    for _ in range(5):
        clock.shift(29 * 60)
        assert is_in(ann)
    clock.shift(30 * 60)
    assert not is_in(ann)


def test_twelve_hours(ann, clock):
    """However busy, a sign-in ends twelve hours after it began."""
    for _ in range(12 * 3 - 1):
        clock.shift(20 * 60)
        assert is_in(ann)
    clock.shift(20 * 60)
    assert not is_in(ann)


def test_typed_text_comes_back(ann, clock):
    """What is sent from the counter after it ran out stands there again after the next sign-in."""
    load_liner()
    clock.shift(31 * 60)
    asked = ann.post("/counter/", {"caller": "Mara Quill", "do": "save"})
    assert asked.status_code == 302 and asked.url.startswith("/sign-in/")
    sign_in(ann)
    assert "Mara Quill" in ann.get("/counter/kept/").content.decode()


def test_listed(ann, clock):
    """One sees with which browsers one is signed in, and since when."""
    other = Client(HTTP_USER_AGENT="Mozilla/5.0 (Windows NT 10.0) Gecko/20100101 Firefox/140.0")
    sign_in(other)
    page = re.sub(r"\s+", " ", ann.get("/your-sign-in/").content.decode())
    assert "Firefox on Windows: since 1 March, 09:00" in page
    assert "a browser (here)" in page


def test_ended_elsewhere(ann, clock):
    """Signed out everywhere else, only this browser stays in."""
    others = [Client(), Client()]
    for other in others:
        sign_in(other)
    ann.post("/your-sign-in/elsewhere/")
    assert [is_in(other) for other in others] == [False, False]
    assert is_in(ann) and SignIn.objects.count() == 1
