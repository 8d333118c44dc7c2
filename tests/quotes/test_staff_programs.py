"""A program's key is shown once, kept as a hash, and can be switched off."""

import re

import pytest

from quotes.lists.shop import find_integration
from quotes.models import Integration
from tests.quotes.first_run import TYPED

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    client.post("/set-up/", TYPED)
    return client


def make(owner, name="web shop"):
    page = owner.post("/shop/programs/", {"name": name})
    found = re.search(r"<code>([\w-]{43})</code>", page.content.decode())
    return page, found and found.group(1)


def test_shown_once(owner):
    """The key stands on the page that made it and on none after; the row holds a hash of it."""
    _, key = make(owner)
    assert key not in owner.get("/shop/programs/").content.decode()
    assert Integration.objects.get().key_hash != key
    assert find_integration(key).name == "web shop"
    assert find_integration(key + "x") is None


def test_switched_off(owner):
    """A key that is switched off opens nothing any more, and its name is not given again."""
    _, key = make(owner)
    owner.post(f"/shop/programs/{Integration.objects.get().pk}/off/")
    assert find_integration(key) is None
    page, none = make(owner)
    assert page.status_code == 422 and none is None
