"""A sign-in's session: made anew, ended for good, kept in a cookie nobody else can use."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.test import Client

from tests.access.shop import people
from tests.access.signing_in import known

PASSWORD = "paper and ink 4711"
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def person(db):
    person = people()["counter"]
    person.set_password(PASSWORD)
    person.save()
    return person


def sign_in(client):
    return client.post("/sign-in/", {"username": "counter-person", "password": PASSWORD})


def test_new_session_at_sign_in(client, person):
    """The session from before the sign-in is worth nothing after it."""
    client.cookies.load(known())
    client.post("/counter/", {"caller": "Mara Quill"})
    before = client.cookies["sessionid"].value
    assert sign_in(client).status_code == 302
    after = client.cookies["sessionid"].value
    assert before != after
    thief = Client()
    thief.cookies["sessionid"] = before
    assert thief.get("/counter/").status_code == 302


def test_dead_after_sign_out(client, person):
    """A session that was signed out cannot be used again, by whoever kept its cookie."""
    sign_in(client)
    kept = client.cookies["sessionid"].value
    client.post("/sign-out/")
    thief = Client()
    thief.cookies["sessionid"] = kept
    assert thief.get("/counter/").status_code == 302


def test_browser_forgets(client, person):
    """At sign-out the browser is told to drop what it kept of the desk's pages."""
    sign_in(client)
    assert client.post("/sign-out/").headers["Clear-Site-Data"] == '"cache"'


def test_dead_after_password_change(client, person):
    """A changed password ends every session that was opened with the old one."""
    sign_in(client)
    person.set_password("another one 4712")
    person.save()
    assert client.get("/counter/").status_code == 302


def test_cookie(client, person):
    """The cookie is the server's alone, is not sent from other sites and lasts a working day."""
    sign_in(client)
    cookie = client.cookies["sessionid"]
    assert (cookie["httponly"], cookie["samesite"], cookie["max-age"]) == (True, "Lax", 12 * 3600)


ASK = """
import json, django
django.setup()
from django.conf import settings as s
print(json.dumps([s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SESSION_COOKIE_NAME,
                  s.CSRF_COOKIE_NAME, "desk.example" in s.ALLOWED_HOSTS]))
"""


def run(*arguments: str) -> subprocess.CompletedProcess:
    env = {
        **os.environ,
        "SITE_URL": "https://desk.example",
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    # Browser tests of the same run set this; no deployment does.
    env.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, env=env, capture_output=True, text=True, check=False
    )


def test_cookies_over_https():
    """With an https address the cookies go over TLS only and belong to this host alone."""
    told = json.loads(run("-c", ASK).stdout)
    assert told == [True, True, "__Host-sessionid", "__Host-csrftoken", True]


def test_ready_to_deploy():
    """Django's own list of checks before deployment finds nothing."""
    done = run("manage.py", "check", "--deploy", "--fail-level", "WARNING")
    assert (done.returncode, "no issues" in done.stdout) == (0, True), done.stderr
