"""A form sent after its sign-in ran out, or from a page older than it: nothing typed is lost, nothing is forged."""

import re
from datetime import UTC, datetime
from html import unescape

import pytest
import time_machine
from django.conf import settings
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

from quotes.models import Customer, Shop
from tests.access.signing_in import PASSWORD, person

HERE = "http://testserver"
HIDDEN = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)">')


@pytest.fixture
def clock():
    with time_machine.travel(datetime(2027, 3, 1, 9, tzinfo=UTC), tick=False) as clock:
        yield clock


def browser():
    return Client(enforce_csrf_checks=True, HTTP_ORIGIN=HERE)


def signed_in(client):
    page = client.get("/sign-in/").content.decode()
    said = {"username": "manager-person", "password": PASSWORD, **token(page)}
    assert client.post("/sign-in/", said).status_code == 302
    return client


def token(page):
    found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
    return {"csrfmiddlewaretoken": found[1]}


@pytest.fixture
def max_(clock, db):
    """A manager's browser, and a note typed on the page of a customer."""
    person("manager")
    Shop.objects.create(pk=1, name="Tarnbrook", idle_minutes=30)
    return signed_in(browser())


@pytest.fixture
def typed(max_):
    """(address, what is sent) of a customer's page with a note typed into it."""
    customer = Customer.objects.create(name="Mara Quill", kind="homeowner")
    address = f"/customers/{customer.pk}/"
    page = max_.get(address).content.decode()
    fields = {
        unescape(name): unescape(value)
        for name, value in re.findall(
            r'<input type="hidden" name="([^"]+)"(?: value="([^"]*)")?', page
        )
    }
    said = {**fields, "name": "Mara Quill", "kind": "homeowner", "note": "Ring & twice"}
    said |= {"unit": "in", "channel": "phone", "language": "en", "address-0-country": "US"}
    return address, said


def sent_again(client, page):
    """Press the one button of the page."""
    address = re.search(r'<form method="post" action="([^"]+)"', page)[1]
    fields = {unescape(name): unescape(value) for name, value in HIDDEN.findall(page)}
    return client.post(unescape(address), {**fields, **token(page)})


def test_sent_after_it_ran_out(max_, typed, clock):
    """The sign-in leads to what was typed; sent again from there it is where it was going."""
    address, said = typed
    clock.shift(31 * 60)
    asked = max_.post(address, said)
    assert (asked.status_code, asked.url) == (302, "/sign-in/?next=/kept/")
    assert "What you typed is kept" in max_.get(asked.url).content.decode()
    signed_in(max_)
    page = max_.get("/kept/").content.decode()
    assert "run out" in page and "Ring &amp; twice" in page
    assert "Ring &amp; twice" in max_.get("/kept/").content.decode(), "loaded once more"
    answer = sent_again(max_, page)
    assert answer.status_code == 302, answer.content.decode()
    assert Customer.objects.get().note == "Ring & twice"
    # Once.
    assert max_.get("/kept/").url == "/"


def test_sent_from_an_older_page(max_, typed):
    """Somebody has signed in again in another window: the page may be sent again all the same."""
    address, said = typed
    max_.post("/sign-out/", said)
    signed_in(max_)
    answer = max_.post(address, said)
    page = answer.content.decode()
    assert (answer.status_code, "older than your sign-in" in page) == (403, True)
    assert sent_again(max_, page).status_code == 302
    assert Customer.objects.get().note == "Ring & twice"


@pytest.mark.parametrize(
    "how",
    [
        {"HTTP_ORIGIN": "https://elsewhere.example"},
        {"HTTP_SEC_FETCH_MODE": "cors"},
        {"data": {"csrfmiddlewaretoken": "x" * 32}},
    ],
)
def test_what_is_not_from_here_is_not_kept(max_, typed, clock, how):
    """Another site's form, a script's call and a form without our token leave nothing to be sent."""
    address, said = typed
    clock.shift(31 * 60)
    max_.post(address, {**said, **how.pop("data", {})}, **how)
    signed_in(max_)
    assert max_.get("/kept/").url == "/"
    assert Customer.objects.get().note == ""


def test_another_sites_form_is_not_made_ready(max_, typed):
    """Signed in, a form that another site has sent is refused, and not shown to be sent again."""
    address, said = typed
    answer = max_.post(address, said, HTTP_ORIGIN="https://elsewhere.example")
    assert (answer.status_code, "Ring" in answer.content.decode()) == (403, False)


def test_no_password_is_kept(max_, typed, clock):
    """What is kept lies in the session, and so does no password."""
    said = typed[1]
    clock.shift(31 * 60)
    max_.post(reverse("password"), {**said, "old_password": "paper", "new_password1": "ink"})
    stored = str(max_.session["kept_form"])
    assert "Ring" in stored and "paper" not in stored and "ink" not in stored


def test_more_than_there_is_room_for(max_, typed, clock):
    """A form too large for a session leads to the sign-in as before."""
    address, said = typed
    clock.shift(31 * 60)
    assert max_.post(address, {**said, "note": "x" * 500_000}).url.endswith(f"next={address}")


def test_in_use():
    """The settings name both, or none of this comes into play."""
    assert "config.kept.SignInFirst" in settings.MIDDLEWARE
    assert settings.CSRF_FAILURE_VIEW == "config.kept.csrf_failed"


@pytest.mark.parametrize("address", ["/customers/1/", "/counter/", "/requests/pasted/"])
def test_a_stranger_fills_no_sessions(address, max_):
    """Of a browser with which nobody has ever signed in nothing is kept."""
    stranger = Client(HTTP_ORIGIN=HERE)
    before = Session.objects.count()
    assert (
        stranger.post(address, {"note": "x" * 100_000, "caller": "y" * 100_000}).status_code == 302
    )
    assert Session.objects.count() == before
