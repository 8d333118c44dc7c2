"""One password tried with many names: after thirty wrong ones an address is held up, a shop is not."""

import pytest
from django.contrib.auth.models import User
from django.test import Client, RequestFactory

from config.sign_ins import client_address
from tests.access.signing_in import PASSWORD, person, sign_in


@pytest.fixture(autouse=True)
def ann(db):
    return person()


def spray(times=30, address="192.0.2.7"):
    return [
        sign_in(Client(), f"name{n}", "summer 2027 !", REMOTE_ADDR=address) for n in range(times)
    ]


def test_held_up():
    """After thirty wrong passwords over all names no stranger's browser signs in from there."""
    assert {page.status_code for page in spray()} == {200}
    page = sign_in(Client(), REMOTE_ADDR="192.0.2.7")
    assert page.status_code == 429
    assert "only browsers that have signed in here before" in page.content.decode()


def test_known_browser_goes_on():
    """A browser of the shop's own behind the same router is not held up, for those who use it."""
    known = Client()
    assert sign_in(known, REMOTE_ADDR="192.0.2.7").status_code == 302
    known.post("/sign-out/")
    spray()
    assert sign_in(known, REMOTE_ADDR="192.0.2.7").status_code == 302
    other = User.objects.get(username="manager-person")
    other.set_password(PASSWORD)
    other.save()
    assert sign_in(known, "manager-person", REMOTE_ADDR="192.0.2.7").status_code == 429


def test_made_up_cookie():
    """A cookie that the desk has not signed makes no browser known."""
    spray()
    client = Client()
    client.cookies["desk_known"] = "1.2.3:1abc:forged"
    assert sign_in(client, REMOTE_ADDR="192.0.2.7").status_code == 429


def test_elsewhere():
    """Other addresses are not held up."""
    spray()
    assert sign_in(Client(), REMOTE_ADDR="192.0.2.8").status_code == 302


@pytest.mark.parametrize(
    ("proxies", "passed", "direct", "address"),
    [
        (0, "198.51.100.1", "192.0.2.7", "192.0.2.7"),
        (1, "198.51.100.1", "127.0.0.1", "198.51.100.1"),
        (1, "203.0.113.9, 198.51.100.1", "127.0.0.1", "198.51.100.1"),
        (2, "203.0.113.9, 198.51.100.1", "127.0.0.1", "203.0.113.9"),
        (1, "", "192.0.2.7", "192.0.2.7"),
        (1, "rubbish", "192.0.2.7", "0.0.0.0"),  # noqa: S104 (nowhere)
        (0, "", "2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
    ],
)
def test_whose_failures_count(proxies, passed, direct, address, settings):
    """What a client claims counts only as far as one's own proxies have seen it; IPv6 by its network."""
    settings.PROXIES = proxies
    more = {"HTTP_X_FORWARDED_FOR": passed} if passed else {}
    assert client_address(RequestFactory().get("/", REMOTE_ADDR=direct, **more)) == address
