"""After sign-in and sign-out nobody is led away from the desk."""

import pytest
from django.test import Client

from tests.access.shop import people

PASSWORD = "paper and ink 4711"
AWAY = [
    "https://evil.example/", "//evil.example/", "http:///evil.example", "/\\evil.example",
    "\\\\evil.example", "javascript:alert(1)", "https:evil.example", "http://testserver@evil.example",
    "\thttps://evil.example", "/\t/evil.example", "data:text/html,x",
]  # fmt: skip


@pytest.fixture
def ann(db):
    person = people()["counter"]
    person.set_password(PASSWORD)
    person.save()


@pytest.mark.parametrize("away", AWAY)
def test_sign_in(ann, away):
    """An address outside the desk is dropped; the sign-in leads to the first page."""
    said = {"username": "counter-person", "password": PASSWORD, "next": away}
    page = Client().post("/sign-in/", said)
    assert (page.status_code, page.url) == (302, "/")


@pytest.mark.parametrize("away", AWAY)
def test_sign_out(ann, away):
    """The sign-out leads to the sign-in."""
    page = Client().post("/sign-out/", {"next": away})
    assert (page.status_code, page.url.startswith("/sign-in/")) == (302, True)


def test_inside(ann):
    """The page that was asked for is where the sign-in leads."""
    said = {"username": "counter-person", "password": PASSWORD, "next": "/requests/?q=Mara"}
    assert Client().post("/sign-in/", said).url == "/requests/?q=Mara"
