"""What every page carries besides its content."""

import re

import pytest
from django.urls import reverse

from config.envelope import NOTHING_TYPED
from tests.access.expected import EXPECTED
from tests.access.shop import PEOPLE

LINKS = [name for name, (read, write) in EXPECTED.items() if "public" in name or name in (
    "quote-accept", "quote-change", "factory-answer", "factory-paper", "order-calendar", "order-quote-pdf",
    "join",
)]  # fmt: skip
POLICY = {
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' data:",
    "font-src 'self'", "connect-src 'self'", "form-action 'self'", "frame-ancestors 'none'",
    "base-uri 'none'", "object-src 'none'",
}  # fmt: skip


def ask(client, name, arguments):
    method = "GET" if EXPECTED[name][0] != "-----" else "POST"
    return client.generic(method, reverse(name, args=arguments.get(name, [])))


@pytest.mark.parametrize("name", EXPECTED)
def test_every_page(name, client, built, db):
    """Every answer carries the strict policy, whoever asks, and nothing of it is guessed at or framed."""
    people, arguments = built
    client.force_login(people[PEOPLE[-1]])
    headers = ask(client, name, arguments).headers
    assert set(headers["Content-Security-Policy"].split("; ")) == POLICY
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert "camera=()" in headers["Permissions-Policy"]
    assert "private" in headers["Cache-Control"] or "no-store" in headers["Cache-Control"]
    assert headers["Referrer-Policy"] == ("no-referrer" if name in LINKS else "same-origin")


@pytest.mark.parametrize("name", LINKS)
def test_link_pages(name, client, built, db):
    """A page opened by a link tells its address to nobody: no referrer, no search engine, no cache."""
    headers = ask(client, name, built[1]).headers
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Robots-Tag"] == "noindex, nofollow"
    assert "no-store" in headers["Cache-Control"]


@pytest.mark.parametrize("name", sorted(NOTHING_TYPED))
def test_nothing_typed(name, client, built, db):
    """A page of people's data on which nothing is typed is kept by no browser; none of them has a box to type into."""
    people, arguments = built
    client.force_login(people["owner"])
    answer = ask(client, name, arguments)
    assert answer.status_code in (200, 302)
    assert answer.headers["Cache-Control"] == "no-store, private"
    if answer.status_code == 200 and "html" in answer.headers["Content-Type"]:
        forms = re.findall('<form method="post".*?</form>', answer.content.decode(), re.DOTALL)
        assert not any(
            re.search('<textarea|type="(text|number|email|date|tel)"', form) for form in forms
        )


@pytest.mark.parametrize("name", ["counter", "request", "order", "customer", "quote"])
def test_typed_into(name, client, built, db):
    """A page that is typed into may be shown again on going back, so that nothing is lost; it is asked for anew otherwise."""
    people, arguments = built
    client.force_login(people["owner"])
    assert ask(client, name, arguments).headers["Cache-Control"] == "private, no-cache"


def test_hsts(client, db, settings):
    """Over https browsers are told to come back over https only."""
    settings.SECURE_HSTS_SECONDS, settings.SECURE_HSTS_INCLUDE_SUBDOMAINS = 31_536_000, True
    page = type(client)().get("/health/", secure=True)
    assert page.headers["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains"


@pytest.mark.parametrize("address", ["/no/such/page", "/your-quote/guessed/", "/sign-in/"])
def test_pages_of_trouble(address, client, db):
    """A page that is not there carries the policy too."""
    assert "script-src 'self'" in client.get(address).headers["Content-Security-Policy"]
